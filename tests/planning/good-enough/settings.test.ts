import { describe, expect, it } from 'vitest'
import { firstSettings, settableDials } from '../../../src/planning/good-enough/index.js'

const DIAL = { dialMin: 0, dialMax: 10, stepped: false, marks: [] }

describe('firstSettings(axis)', () => {
  it('are the marks of the dial, but for zero, where it stands still', () => {
    expect(firstSettings({ ...DIAL, marks: [8, 2, 0, 5] })).toEqual([2, 5, 8])
    expect(firstSettings({ ...DIAL, marks: [0] })).toEqual([0])
  })

  it('are every second mark with both ends where a dial that is not stepped has many marks', () => {
    const marks = Array.from({ length: 21 }, (_, i) => i / 2)
    expect(firstSettings({ ...DIAL, marks })).toEqual([0.5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10])
    expect(firstSettings({ ...DIAL, marks, stepped: true })).toHaveLength(20)
  })

  it('are the whole numbers, or nine even places, where no mark is named', () => {
    expect(firstSettings({ ...DIAL, dialMax: 6 })).toEqual([1, 2, 3, 4, 5, 6])
    const even = firstSettings({ ...DIAL, dialMax: 100 })
    expect(even).toHaveLength(9)
    expect([even[0], even.at(-1)]).toEqual([100 / 9, 100])
    expect(firstSettings({ ...DIAL, dialMin: 20, dialMax: 100 })).toEqual([
      20, 30, 40, 50, 60, 70, 80, 90, 100,
    ])
  })
})

describe('settableDials(axis)', () => {
  it('are the marks and half way between them; of a stepped dial the marks alone', () => {
    expect(settableDials({ ...DIAL, marks: [1, 2, 4] })).toEqual([1, 1.5, 2, 3, 4])
    expect(settableDials({ ...DIAL, marks: [1, 2, 4], stepped: true })).toEqual([1, 2, 4])
  })
})
