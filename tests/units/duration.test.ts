import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { UsageError } from '../../src/errors/index.js'
import { parseDurationS, parseTime } from '../../src/units/index.js'

describe('parseTime(text, what)', () => {
  it.each([
    ['28.4', 28.4, 0.1],
    ['28.4s', 28.4, 0.1],
    ['28', 28, 1],
    ['250 ms', 0.25, 0.001],
    ['1.5min', 90, 6],
    ['0:28.4', 28.4, 0.1],
    ['1:02.30', 62.3, 0.01],
    ['1:02,30', 62.3, 0.01],
    ['1:2.3', 62.3, 0.1],
    ['12:00', 720, 1],
    ['75:10.05', 4510.05, 0.01],
    ['1:01:02.5', 3662.5, 0.1],
    [' 0:28.4s ', 28.4, 0.1],
  ])('reads "%s" as %d s, good to %d s', (text, timeS, lastDigitS) => {
    const read = parseTime(text, '--time')
    expect(read.timeS).toBeCloseTo(timeS, 9)
    expect(read.lastDigitS).toBeCloseTo(lastDigitS, 12)
  })

  it.each([
    '1:75',
    '1:60.0',
    '1:99:02',
    ':28.4',
    '1:',
    '-0:28',
    '0:-28',
    '1:02:03:04',
    '1:02.3.4',
    '1:02 in',
    'x:1',
  ])('refuses "%s" and shows how a time is written', (text) => {
    expect(() => parseTime(text, '--time')).toThrow(UsageError)
    expect(() => parseTime(text, '--time')).toThrow(
      expect.objectContaining({ hint: expect.stringMatching(/0:28\.4/) }),
    )
  })

  it('reads what a clock shows back to the hundredth', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 600_000 }), (hundredths) => {
        const minutes = Math.floor(hundredths / 6000)
        const seconds = ((hundredths % 6000) / 100).toFixed(2).padStart(5, '0')
        expect(parseDurationS(`${minutes}:${seconds}`, 'time')).toBeCloseTo(hundredths / 100, 9)
      }),
    )
  })
})
