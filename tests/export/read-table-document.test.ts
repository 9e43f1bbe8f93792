import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { mmReading, mmReadings } from '../../src/export/exact-length.js'
import {
  dataPackage,
  documentOfPackage,
  readTableDocument,
  tableDocument,
  tablesOf,
  tablesToJson,
} from '../../src/export/index.js'
import type { FeedTable } from '../../src/regression/index.js'
import { tableHash } from '../../src/store/index.js'
import { fromMm } from '../../src/units/index.js'
import { anyTable, STEPPED, STRAIGHT, table } from '../planning/sample-tables.js'

const AXIS = {
  travelMm: 533.4,
  dialMin: -5,
  dialMax: 120,
  marks: [1, 2],
  stepped: false,
  dialClicks: true,
  leadscrewPitchMm: 5.08,
}

const hashed = (one: FeedTable): FeedTable => ({ ...one, hash: tableHash(one) })

const anyHashed = fc
  .tuple(anyTable, fc.constantFrom('in' as const, 'mm' as const), fc.constantFrom(1 as const, -1 as const))
  .map(([one, unit, direction]) => hashed({ ...one, unit, direction, runIds: ['a', 'b'] }))

describe('readTableDocument(text, place, hashOf)', () => {
  it('gives back every number to the last digit, and the hash of the content', () => {
    fc.assert(
      fc.property(anyHashed, (one) => {
        const text = tablesToJson([one], AXIS)
        const read = readTableDocument(text, 'feeds.json', tableHash)
        expect(tablesToJson(read.tables, read.axisDetails)).toBe(text)
        expect(tableHash(read.tables[0]!)).toBe(one.hash)
      }),
      { numRuns: 60 },
    )
  })

  it('is also read back from a data package', () => {
    fc.assert(
      fc.property(anyHashed, (one) => {
        const document = tableDocument([one], AXIS)
        const files = dataPackage(document, { runs: [] })
        const read = documentOfPackage((name) => files.get(name)!, 'package')
        expect(read).toEqual(document)
        expect(tableHash(tablesOf(read, tableHash).tables[0]!)).toBe(one.hash)
      }),
      { numRuns: 30 },
    )
  })

  it('keeps missing intervals missing and marks alone marks alone', () => {
    const bare = STEPPED.marks.map((mark) => ({
      ...mark,
      standardUncertaintyMmPerMin: null,
      interval95: null,
      nextSetting95: null,
    }))
    const one = hashed(table({ ...STEPPED, marks: bare }))
    const files = dataPackage(tableDocument([one]), { runs: [] })
    const read = tablesOf(
      documentOfPackage((name) => files.get(name)!, 'package'),
      tableHash,
    )
    expect(read.tables).toEqual([one])
    expect(read.axisDetails).toBeUndefined()
  })

  it('finds the hash of a number whose last bit decides its ninth digit', () => {
    // Among numbers at the edge of a ninth digit take one that inches cannot tell from its neighbour across the edge.
    const edge = Array.from({ length: 4000 }, (_, index) => 110.0000005 + index * 1e-6).find((value) => {
      const readings = mmReadings(fromMm(value, 'in'), 'in')
      const digits = new Set(readings.map((reading) => reading.toPrecision(9)))
      return digits.size > 1 && mmReading(fromMm(value, 'in'), 'in').toPrecision(9) !== value.toPrecision(9)
    })!
    const one = hashed(
      table({ ...STEPPED, unit: 'in', marks: [{ ...STEPPED.marks[0]!, feedMmPerMin: edge }] }),
    )
    const read = readTableDocument(tablesToJson([one]), 'feeds.json', tableHash)
    expect(tableHash(read.tables[0]!)).toBe(one.hash)
  })

  it('says what is wrong with a file and where', () => {
    const read = (text: string) => () => readTableDocument(text, 'feeds.json', tableHash)
    const good = JSON.parse(tablesToJson([STRAIGHT]))
    for (const text of ['{', 'null', '5', '[1, 2]', '{"name": "package"}', 't,position\n0,0\n'])
      expect(read(text)).toThrow('feeds.json cannot be brought in: it is not a file that tablepace exported.')
    expect(read(JSON.stringify({ ...good, tables: [{ ...good.tables[0], direction: 'up' }] }))).toThrow(
      'changed or damaged since it was exported, and tables.0.direction is not what belongs there.',
    )
    expect(read(JSON.stringify({ ...good, schema: { ...good.schema, version: 2 } }))).toThrow(
      /format 2; this program reads format 1/,
    )
  })
})

describe('documentOfPackage(read, place)', () => {
  it('refuses packages of another kind and files that are no CSV', () => {
    const files = dataPackage(tableDocument([STRAIGHT]), { runs: [] })
    const from = (changes: Record<string, string>) => () =>
      documentOfPackage((name) => changes[name] ?? files.get(name)!, 'package')
    expect(from({ 'datapackage.json': '{"name":"x"}' })).toThrow(/not a package of feed tables/)
    expect(from({ 'datapackage.json': 'x' })).toThrow(/not JSON/)
    expect(from({ 'marks.csv': '"' })).toThrow(/cannot be read/)
    expect(from({ 'marks.csv': files.get('marks.csv')!.replace(/plus,2,200,/, 'plus,2,abc,') })).toThrow(
      /tables\.0\.marks\.2\.feed\.value/,
    )
  })
})
