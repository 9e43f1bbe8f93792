import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parse } from 'csv-parse/sync'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import writeWorkbook from 'write-excel-file/node'
import { tablesToWorkbook } from '../../src/export/index.js'
import { interpolated } from '../../src/export/sheet-formulas.js'
import { dialForFeed, feedAtDial } from '../../src/planning/index.js'
import { hasProgram, sheetsAsCsv } from '../harness/outside/outside-programs.js'
import { STEPPED, STRAIGHT, table } from '../planning/sample-tables.js'

/** A bent dial, so that nothing agrees by chance. */
const BENT = table({
  ...STRAIGHT,
  curve: STRAIGHT.curve.map((point) => ({ ...point, feedMmPerMin: point.feedMmPerMin ** 1.02 })),
})
/** The other direction's dial falls, so that both ways are looked up. */
const MINUS = table({
  ...STRAIGHT,
  direction: -1,
  curve: STRAIGHT.curve.map((point) => ({ ...point, dial: 10.1 - point.dial })).toReversed(),
  marks: STRAIGHT.marks.map((mark) => ({ ...mark, dial: 10.1 - mark.dial })).toReversed(),
})
const NAMED = table({ ...STEPPED, machine: '=1+1', axis: '@x' })

const POINTS = BENT.curve.map((point) => [point.dial, point.feedMmPerMin] as const)
const LOW = POINTS[0]![1]
const HIGH = POINTS.at(-1)![1]
const ASKED = [LOW, ...Array.from({ length: 40 }, (_, at) => LOW + ((at + 0.37) / 40) * (HIGH - LOW)), HIGH]

/** A formula for every asked feed, over the points of the bent dial. */
function questions(): Promise<Buffer> {
  const column = (letter: string) => ({ sheet: 'Plus', letter, firstRow: 2, lastRow: 1 + POINTS.length })
  const rows = [...ASKED, LOW * 0.99, HIGH * 1.01, -1].map((feed, at) => [
    { value: feed, type: Number },
    {
      value: `=${interpolated(`A${at + 1}`, column('B'), column('A'), 'outside')}`,
      type: 'Formula' as const,
    },
  ])
  const points = POINTS.map((pair) => pair.map((value) => ({ value, type: Number })))
  return writeWorkbook([
    { sheet: 'Asked', data: rows },
    { sheet: 'Plus', data: [[{ value: 'dial' }, { value: 'feed' }], ...points] },
  ]).toBuffer()
}

describe.skipIf(!hasProgram('soffice'))(
  'tablesToWorkbook(tables), opened and calculated by LibreOffice',
  () => {
    const folder = mkdtempSync(join(tmpdir(), 'tablepace-books-'))
    afterAll(() => rmSync(folder, { recursive: true }))
    const sheet = (name: string): string[][] =>
      parse(readFileSync(join(folder, `${name}.csv`)), { relax_column_count: true })

    // All in one go: starting it takes longer than the rest.
    beforeAll(async () => {
      const books = {
        both: await tablesToWorkbook([BENT, MINUS]),
        marks: await tablesToWorkbook([NAMED]),
        questions: await questions(),
      }
      const paths = Object.entries(books).map(([name, content]) => {
        const path = join(folder, `${name}.xlsx`)
        writeFileSync(path, content)
        return path
      })
      sheetsAsCsv(paths, folder)
    })

    it('reads dial and feed as the program does', () => {
      const look = sheet('both-Look up')
      const wanted = Number(look[2]![1])
      const rows = [
        [look[4]!, BENT],
        [look[5]!, MINUS],
      ] as const
      for (const [row, from] of rows) {
        const answer = dialForFeed(from, wanted)
        expect(Number(row[1])).toBeCloseTo(answer.dial.value, 9)
        expect(Number(row[2])).toBeCloseTo(answer.feed.feedMmPerMin, 7)
        expect(Number(row[3])).toBeCloseTo(answer.feed.interval95![0], 7)
        expect(Number(row[6])).toBeCloseTo(answer.nextSetting95![1], 7)
      }
      const dial = Number(look[7]![1])
      expect(Number(look[9]![2])).toBeCloseTo(feedAtDial(BENT, dial).feed.feedMmPerMin, 7)
      expect(sheet('both-Plus')).toHaveLength(1 + BENT.curve.length)
      expect(sheet('both-Where from').flat()).toContain('a'.repeat(64))
    })

    it('takes the nearest mark of a dial that has marks alone, and names of any kind as text', () => {
      const look = sheet('marks-Look up')
      expect(look[0]![0]).toBe('=1+1 @x: dial and feed')
      expect(look[4]!.slice(1, 3).map(Number)).toEqual([2, 45])
      expect(sheet('marks-Where from').flat()).toContain('=1+1')
    })

    it('goes straight between rows at any value, and answers in words outside', () => {
      const answers = sheet('questions-Asked').map((row) => row[1])
      ASKED.forEach((feed, at) => {
        expect(Number(answers[at])).toBeCloseTo(dialForFeed(BENT, feed).dial.value, 9)
      })
      expect(answers.slice(ASKED.length)).toEqual(['outside', 'outside', 'outside'])
    })
  },
)
