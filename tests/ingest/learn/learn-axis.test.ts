import { describe, expect, test } from 'vitest'
import { type LearnedColumn, moveOf, sayColumn, whichMoved } from '../../../src/ingest/index.js'

function column(place: number, changes: Partial<LearnedColumn> = {}): LearnedColumn {
  return {
    skeleton: '# #',
    column: place,
    label: null,
    role: 'position',
    clockUnit: null,
    clockBits: null,
    decimals: 3,
    dropsZeros: false,
    sign: 'free',
    ...changes,
  }
}

/** Values at twenty a second. */
const series = (values: readonly number[]) => ({ timeS: values.map((_, i) => 3 + i / 20), values })
/** A move from rest to rest: 1 s, 1 s, 1 s. */
const moved = (from: number, by: number) =>
  series(Array.from({ length: 60 }, (_, i) => from + (by * Math.min(Math.max(i - 20, 0), 20)) / 20))
const still = (at: number) => series(Array.from({ length: 60 }, (_, i) => at + 0.001 * (i % 2)))

describe('whichMoved(watched)', () => {
  test('finds the number that moved, with its sign', () => {
    const found = whichMoved([
      { column: column(1), series: still(5) },
      { column: column(2), series: moved(12, -5) },
    ])
    expect(found.column.column).toBe(2)
    expect(found.netMove).toBeCloseTo(-5, 9)
    expect(found.rested).toBe(true)
  })

  test('lets another axis follow by a little, as a table does that tilts', () => {
    const found = whichMoved([
      { column: column(1), series: moved(0, 10) },
      { column: column(2), series: moved(0, 0.15) },
    ])
    expect(found.column.column).toBe(1)
  })

  test('is not misled by one damaged value in a hundred', () => {
    const values = [...Array(150).fill(2), 99, ...Array(150).fill(2)]
    const found = whichMoved([
      { column: column(1), series: series(values) },
      { column: column(2), series: moved(0, 3) },
    ])
    expect(found.column.column).toBe(2)
  })

  test('refuses where nothing moved, and where several did', () => {
    const quiet = [1, 2].map((place) => ({ column: column(place), series: still(place) }))
    expect(() => whichMoved(quiet)).toThrow(/None of the numbers moved/)
    expect(() => whichMoved([])).toThrow(/None of the numbers moved/)
    const both = [
      { column: column(1, { label: 'X' }), series: moved(0, 4) },
      { column: column(2), series: moved(0, 3) },
    ]
    expect(() => whichMoved(both)).toThrow(/the number labelled X and column 2/)
  })
})

describe('moveOf(column, series)', () => {
  test('knows a move that was not from rest to rest', () => {
    const { values } = moved(0, 4)
    expect(moveOf(column(1), series(values.slice(25))).rested).toBe(false)
    expect(moveOf(column(1), series(values.slice(0, 35))).rested).toBe(false)
    expect(moveOf(column(1), series([1, 1, 1])).rested).toBe(false)
  })
})

test('sayColumn(column) names the label or the place', () => {
  expect(sayColumn(column(3))).toBe('column 3')
  expect(sayColumn(column(3, { label: 'Z' }))).toBe('the number labelled Z')
})
