import { expect, test } from 'vitest'
import {
  feedsBetween,
  lastDigitMm,
  refreshOf,
  typedReading,
  typedRefresh,
  withReading,
} from '../../../src/page/client/film/reading.js'

test('a reading is worth its own digits, and a run the finest of them', () => {
  const readings = [typedReading('1.2500', 2, 'in'), typedReading('1,5', 4, 'in'), typedReading('2', 6, 'in')]
  for (const [index, mm] of [31.75, 38.1, 50.8].entries())
    expect(readings[index]!.positionMm).toBeCloseTo(mm, 9)
  expect(readings[0]!.text).toBe('1.2500 in')
  expect(lastDigitMm(readings, 'in')).toBeCloseTo(0.00254, 10)
  expect(() => lastDigitMm(readings.slice(2), 'in')).toThrow(/no reading has a decimal point/i)
  expect(() => typedReading('1.2.3', 2, 'mm')).toThrow('is not a number')
})

test('readings stand in order of time, one for each frame, with the feed from each to the next', () => {
  const first = withReading([], typedReading('10.00', 3, 'mm'))
  const both = withReading(first, typedReading('4.00', 1, 'mm'))
  expect(both.map(({ timeS }) => timeS)).toEqual([1, 3])
  expect(feedsBetween(both)).toEqual([180])
  const corrected = withReading(both, typedReading('8.00', 3, 'mm'))
  expect(feedsBetween(corrected)).toEqual([120])
})

test('the time between two changes of the display is that of those one after the other', () => {
  expect(refreshOf([])).toBeNull()
  expect(refreshOf([1.5])).toBeNull()
  expect(refreshOf([2, 1.5, 1.6])).toBeCloseTo(0.1, 10)
  // Seen on frames, five changes a second are 0.167 and 0.208 s apart at 24 frames a second; one was passed over.
  expect(refreshOf([0, 4 / 24, 9 / 24, 19 / 24])).toBeCloseTo(4.5 / 24, 10)
})

test('the time between two changes may be typed or not known', () => {
  expect(typedRefresh(' ')).toBeNull()
  expect(typedRefresh('0.125')).toBe(0.125)
  for (const text of ['0', '-1', '3']) expect(() => typedRefresh(text)).toThrow(/does not change every/)
  expect(() => typedRefresh('often')).toThrow('is not a number')
})
