import { execFileSync } from 'node:child_process'
import { parse } from 'csv-parse/sync'
import { describe, expect, it } from 'vitest'
import { tablesToCsv } from '../../src/export/index.js'
import { dialForFeed } from '../../src/planning/index.js'
import { hasProgram } from '../harness/outside/outside-programs.js'
import { STEPPED, STRAIGHT, table } from '../planning/sample-tables.js'

type Row = Record<string, string>

function rowsOf(csv: string): Row[] {
  return parse(csv, { columns: true }) as Row[]
}

describe('tablesToCsv(tables)', () => {
  it('has one header line with the units in the column names', () => {
    expect(tablesToCsv([STRAIGHT]).split('\n')[0]).toBe(
      'machine,axis,direction,version,row,dial,dial_low_95,dial_high_95,feed_mm_per_min,' +
        'feed_standard_uncertainty_mm_per_min,feed_low_95_mm_per_min,feed_high_95_mm_per_min,' +
        'next_setting_low_95_mm_per_min,next_setting_high_95_mm_per_min,runs,fitted_at,method,hash,' +
        'measured_dial_low,measured_dial_high,measured_feed_low_mm_per_min,measured_feed_high_mm_per_min,measured,warnings',
    )
    expect(rowsOf(tablesToCsv([STRAIGHT])).every((row) => row.measured === 'without a cut')).toBe(true)
    const inches = rowsOf(tablesToCsv([table({ ...STRAIGHT, unit: 'in' })]))
    // 1 in = 25.4 mm exactly.
    expect(Number(inches.find((row) => row.row === 'mark' && row.dial === '2')?.feed_in_per_min)).toBe(
      200 / 25.4,
    )
  })

  it('holds marks and both directions of the lookup, every number as it was', () => {
    const rows = rowsOf(tablesToCsv([STRAIGHT]))
    const of = (kind: string) => rows.filter((row) => row.row === kind)
    expect(
      of('mark').map((row) => [Number(row.dial), Number(row.feed_mm_per_min), Number(row.runs)]),
    ).toEqual(STRAIGHT.marks.map((mark) => [mark.dial, mark.feedMmPerMin, mark.runs]))
    expect(
      of('dial-to-feed').map((row) => [
        Number(row.dial),
        Number(row.feed_mm_per_min),
        Number(row.feed_standard_uncertainty_mm_per_min),
        Number(row.feed_low_95_mm_per_min),
        Number(row.next_setting_high_95_mm_per_min),
      ]),
    ).toEqual(
      STRAIGHT.curve.map((point) => [
        point.dial,
        point.feedMmPerMin,
        point.standardUncertaintyMmPerMin,
        point.interval95?.[0],
        point.nextSetting95?.[1],
      ]),
    )
    const inverse = of('feed-to-dial')
    expect(inverse).toHaveLength(101)
    expect([Number(inverse[0]?.feed_mm_per_min), Number(inverse[100]?.feed_mm_per_min)]).toEqual([10, 1000])
    for (const row of inverse) {
      const { dial } = dialForFeed(STRAIGHT, Number(row.feed_mm_per_min))
      expect([row.dial, row.dial_low_95, row.dial_high_95].map(Number)).toEqual([
        dial.value,
        ...dial.interval95!,
      ])
    }
  })

  it('puts the directions of an axis into one file, as words', () => {
    const rows = rowsOf(tablesToCsv([STEPPED, table({ ...STEPPED, direction: -1, version: 7 })]))
    expect(rows.map((row) => [row.direction, row.version, row.row])).toEqual([
      ...Array(3).fill(['plus', '2', 'mark']),
      ...Array(3).fill(['minus', '7', 'mark']),
    ])
  })

  it('leaves what is not known empty', () => {
    const marks = STEPPED.marks.map((mark) => ({
      ...mark,
      standardUncertaintyMmPerMin: null,
      interval95: null,
      nextSetting95: null,
    }))
    const [row] = rowsOf(tablesToCsv([table({ ...STEPPED, marks })]))
    expect([
      row?.feed_low_95_mm_per_min,
      row?.feed_standard_uncertainty_mm_per_min,
      row?.dial_low_95,
    ]).toEqual(['', '', ''])
  })

  it('neutralises text a spreadsheet would run as a formula (OWASP ASVS 1.2.10), and no number', () => {
    const marks = [{ ...STEPPED.marks[0]!, dial: -0.5 }]
    for (const begin of ['=', '+', '-', '@', '\t', '\r']) {
      const [row] = rowsOf(tablesToCsv([table({ ...STEPPED, marks, machine: `${begin}HYPERLINK("x")` })]))
      expect([row?.machine, row?.dial]).toEqual([`'${begin}HYPERLINK("x")`, '-0.5'])
    }
    const [quoted] = rowsOf(tablesToCsv([table({ ...STEPPED, machine: 'mill, "old"\nright' })]))
    expect(quoted?.machine).toBe('mill, "old"\nright')
  })

  it('mixed-units: inches and millimetres do not go into one file', () => {
    expect(() => tablesToCsv([STRAIGHT, table({ ...STRAIGHT, unit: 'in' })])).toThrow(/one CSV file/)
  })

  it.skipIf(!hasProgram('python3'))("reads the same in Python's csv module, whatever a name holds", () => {
    const csv = tablesToCsv([table({ ...STRAIGHT, machine: 'a "b", c\nd', axis: '+x' })])
    const script = 'import csv, json, sys; print(json.dumps(list(csv.DictReader(sys.stdin))))'
    const read = execFileSync('python3', ['-c', script], { input: csv, encoding: 'utf8' })
    expect(JSON.parse(read)).toEqual(rowsOf(csv))
    expect(rowsOf(csv)[0]).toMatchObject({ machine: 'a "b", c\nd', axis: "'+x", measured_dial_high: '10' })
  })
})
