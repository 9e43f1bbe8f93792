import { describe, expect, test } from 'vitest'
import { columnSeries, learnShape, type StampedLine } from '../../../src/ingest/index.js'

/** Lines of a table that moves from the 20th line on, ten a second. */
function lines(write: (mm: number, index: number) => string, count = 60): StampedLine[] {
  return Array.from({ length: count }, (_, i) => ({
    timeS: 7 + i / 10,
    text: write(1 + 0.25 * Math.max(0, i - 20), i),
  }))
}

const roles = (shape: ReturnType<typeof learnShape>) => shape.columns.map(({ role }) => role)

describe('learnShape(lines)', () => {
  test('finds labels, signs and decimals', () => {
    const shape = learnShape(lines((mm) => `X+${mm.toFixed(3).padStart(7, '0')} Y-001.50`))
    expect(shape).toMatchObject({ decimalMark: '.', unit: null, separators: [], share: 1 })
    expect(shape.columns).toMatchObject([
      { column: 1, label: 'X', role: 'position', decimals: 3, sign: 'always', dropsZeros: false },
      { column: 2, label: 'Y', role: 'position', decimals: 2 },
    ])
    expect(shape.examples).toEqual(['X+001.000 Y-001.50'])
  })

  test('finds separators and the unit in the lines', () => {
    const shape = learnShape(lines((mm) => `${mm.toFixed(2)} mm; -3.10 mm`))
    expect(shape).toMatchObject({ separators: [';'], unit: 'mm' })
    expect(roles(shape)).toEqual(['position', 'position'])
  })

  test.each([
    ['first', (ms: number, mm: string) => `${ms},${mm}`, ['clock', 'position']],
    ['last', (ms: number, mm: string) => `${mm},${ms}`, ['position', 'clock']],
  ])('tells a clock that comes %s, and its width', (_, write, wanted) => {
    const wide = learnShape(lines((mm, i) => write(9_876_543 + 100 * i, mm.toFixed(3))))
    expect(roles(wide)).toEqual(wanted)
    expect(wide.columns.find(({ role }) => role === 'clock')!.clockBits).toBe(32)
    const narrow = learnShape(lines((mm, i) => write((64_000 + 100 * i) % 65_536, mm.toFixed(3))))
    expect(narrow.columns.find(({ role }) => role === 'clock')!.clockBits).toBe(16)
  })

  test('tells the unit of a clock', () => {
    const units = [
      (ms: number) => `${1000 * ms}`,
      (ms: number) => `${ms}`,
      (ms: number) => (ms / 1000).toFixed(2),
    ]
    const shapes = units.map((write) =>
      learnShape(lines((mm, i) => `${write(70_000 + 100 * i)} ${mm.toFixed(3)}`)),
    )
    expect(shapes.map(({ columns: [clock] }) => [clock!.role, clock!.clockUnit, clock!.clockBits])).toEqual([
      ['clock', 'us', 32],
      ['clock', 'ms', 32],
      ['clock', 's', null],
    ])
  })

  test('tells a counter of lines', () => {
    expect(roles(learnShape(lines((mm, i) => `${500 + i} ${mm.toFixed(3)}`)))).toEqual([
      'counter',
      'position',
    ])
  })

  test('finds a decimal comma', () => {
    const shape = learnShape(lines((mm) => `X ${mm.toFixed(3).replace('.', ',')}`))
    expect(shape.decimalMark).toBe(',')
    expect(shape.columns).toMatchObject([{ label: 'X', decimals: 3 }])
  })

  test('keeps a shape for each axis where they take turns', () => {
    const shape = learnShape(lines((mm, i) => (i % 2 === 0 ? `X${mm.toFixed(3)}` : 'Y-1.000'), 80))
    expect(shape.columns.map(({ label }) => label).sort()).toEqual(['X', 'Y'])
    expect(shape.examples).toHaveLength(2)
  })

  test('passes over damaged lines, and says what share was sound', () => {
    const shape = learnShape(lines((mm, i) => (i % 10 === 3 ? `X+0?${i}` : `X+${mm.toFixed(3)}`)))
    expect(shape.columns).toHaveLength(1)
    expect(shape.share).toBeCloseTo(0.9, 9)
  })

  test('refuses lines without numbers', () => {
    expect(() => learnShape([{ timeS: 0, text: 'READY' }])).toThrow(
      /None of the 1 lines holds a readable number/,
    )
    expect(() => learnShape([])).toThrow(/None of the 0 lines/)
  })
})

describe('columnSeries(lines, shape, column)', () => {
  test('gives the values of one number, without those that were cut short', () => {
    const some = lines((mm) => `X${mm.toFixed(3)} Y-1.500`, 30)
    const shape = learnShape(some)
    const cut = { timeS: 20, text: 'X3.2 Y-1.500' }
    expect(columnSeries([...some.slice(0, 2), cut], shape, shape.columns[0]!)).toEqual({
      timeS: [7, 7.1],
      values: [1, 1],
    })
    expect(columnSeries(some.slice(0, 1), shape, shape.columns[1]!).values).toEqual([-1.5])
    expect(columnSeries([], shape, shape.columns[1]!).values).toEqual([])
  })

  test('reads decimal commas', () => {
    const some = lines((mm) => mm.toFixed(2).replace('.', ','), 30)
    const shape = learnShape(some)
    expect(columnSeries(some, shape, shape.columns[0]!).values.at(-1)).toBe(3.25)
  })
})
