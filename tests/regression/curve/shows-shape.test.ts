import { describe, expect, it } from 'vitest'
import { showsShape } from '../../../src/regression/curve/shows-shape.js'

const marks = (...feeds: number[]) => feeds.map((feedMmPerMin) => ({ feedMmPerMin }))

describe('showsShape(marks, posterior)', () => {
  it('asks for four marks, one of which moves, and four repeats', () => {
    const repeated = { degreesOfFreedom: 4 }
    expect(showsShape(marks(20, 40, 60, 80), repeated)).toBe(true)
    expect(showsShape(marks(20, 40, 60), repeated)).toBe(false)
    expect(showsShape(marks(0, 0, 0, 0), repeated)).toBe(false)
    expect(showsShape(marks(0, 0, 0, 80), repeated)).toBe(true)
    expect(showsShape(marks(20, 40, 60, 80), { degreesOfFreedom: 3 })).toBe(false)
    expect(showsShape(marks(20, 40, 60, 80), null)).toBe(false)
  })
})
