import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { UsageError } from '../../src/errors/index.js'
import {
  fromMm,
  parseDurationS,
  parseFeedMmPerMin,
  parseLengthMm,
  parseNumber,
  toMm,
} from '../../src/units/index.js'

describe('inch and millimetre', () => {
  // UCUM essence file: [in_i] = 2.54 cm, min = 60 s; feeds in in/min against mm/min worked from it.
  it.each([
    [0.125, 3.175],
    [0.75, 19.05],
    [1, 25.4],
    [2.5, 63.5],
    [13.37, 339.598],
    [40, 1016],
  ])('%d in/min is %d mm/min', (inches, millimetres) => {
    expect(parseFeedMmPerMin(`${inches}in/min`, 'mm', 'feed')).toBeCloseTo(millimetres, 10)
    expect(fromMm(millimetres, 'in')).toBeCloseTo(inches, 12)
  })

  it('comes back from a round trip to within one unit in the last place', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-6, max: 1e6, noNaN: true }), (value) => {
        expect(Math.abs(fromMm(toMm(value, 'in'), 'in') / value - 1)).toBeLessThan(3e-16)
      }),
    )
  })
})

describe('quantities with units', () => {
  it('reads lengths in either system and takes bare numbers in the machine unit', () => {
    expect(parseLengthMm('6in', 'mm', 'distance')).toBeCloseTo(152.4, 12)
    expect(parseLengthMm('150mm', 'in', 'distance')).toBe(150)
    expect(parseLengthMm('6', 'in', 'distance')).toBeCloseTo(152.4, 12)
    expect(parseLengthMm('1/2"', 'mm', 'distance')).toBeCloseTo(12.7, 12)
  })

  it('reads durations in seconds or minutes', () => {
    expect(parseDurationS('28.4s', 'time')).toBe(28.4)
    expect(parseDurationS('1.5min', 'time')).toBe(90)
    expect(parseDurationS('28.4', 'time')).toBe(28.4)
  })

  it('asks for a number where nothing was entered', () => {
    for (const read of [parseNumber, (text: string, what: string) => parseLengthMm(text, 'in', what)])
      expect(() => read(' ', 'Travel')).toThrow('Travel: enter a number.')
  })

  it('refuses a unit of another kind and names the option', () => {
    expect(() => parseLengthMm('6in/min', 'in', '--distance')).toThrow(/--distance/)
    expect(() => parseFeedMmPerMin('7mm', 'in', 'feed')).toThrow(UsageError)
    expect(() => parseFeedMmPerMin('7furlong', 'in', 'feed')).toThrow(UsageError)
  })
})
