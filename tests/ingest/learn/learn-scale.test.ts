import { describe, expect, test } from 'vitest'
import {
  checkLineUnit,
  fitScale,
  type KnownMove,
  lineUnitMm,
  PLAUSIBLE_ANGLE_SCALES,
  sayOff,
} from '../../../src/ingest/index.js'

const move = (numberMoved: number, lengthMm: number, changes: Partial<KnownMove> = {}): KnownMove => ({
  numberMoved,
  lastDigit: 0.001,
  lengthMm,
  errorMm: 0.01 * lengthMm,
  ...changes,
})

describe('fitScale(move)', () => {
  // 1 in = 25.4 mm exactly; 1 µm and 0.0001 in are usual steps of scales (common practice, no source).
  test.each<[string, KnownMove, number, string]>([
    ['millimetres', move(5.001, 5), 1, 'mm'],
    ['inches, against the direction', move(-0.1, 2.54), 25.4, 'in'],
    ['counts of 5 µm', move(508, 2.54, { lastDigit: 1 }), 0.005, 'counts of 5 \u00b5m'],
    [
      'counts of a ten-thousandth of an inch',
      move(1000, 2.54, { lastDigit: 1 }),
      0.00254,
      'counts of 0.0001 in',
    ],
  ])('tells %s', (_, known, mmPerNumber, text) => {
    const scale = fitScale(known)
    expect(scale.text).toBe(text)
    expect(scale.mmPerNumber).toBeCloseTo(mmPerNumber, 12)
    expect(Math.abs(scale.offPercent)).toBeLessThanOrEqual(scale.allowedPercent)
  })

  test('refuses a move that no usual scale explains, and says what a number would be worth', () => {
    expect(() => fitScale(move(5, 7))).toThrow(
      /the number 1 is worth 1\.4 mm .* the nearest, mm, would be 29 % short/,
    )
  })

  test('tells degrees and counts of a degree, of a readout that shows angles', () => {
    expect(fitScale(move(90.02, 90), PLAUSIBLE_ANGLE_SCALES)).toMatchObject({ unit: 'deg', text: 'degrees' })
    const counts = fitScale(move(18_000, 90, { lastDigit: 1 }), PLAUSIBLE_ANGLE_SCALES)
    expect([counts.unit, counts.text, counts.mmPerNumber]).toEqual(['counts', 'counts of 0.005 deg', 0.005])
    expect(() => fitScale(move(5, 7), PLAUSIBLE_ANGLE_SCALES)).toThrow(
      /the number 1 is worth 1\.4 deg, .*degrees/,
    )
  })

  test('refuses to choose where the move is known too coarsely', () => {
    // 0.0001 in is 2.54 µm and between it and 0.00025 in lies a factor of 2.5; 2 µm is nearer: 27 % apart.
    expect(() => fitScale(move(100, 0.23, { lastDigit: 1, errorMm: 0.05 }))).toThrow(
      /fits .*counts of 0\.0001 in.* and .*counts of 2 \u00b5m/,
    )
  })

  test('allows the stated error and a digit at each end', () => {
    // By hand: 0.05 mm and 1 digit of 0.01 mm in 5 mm are 1.2 %.
    expect(fitScale(move(5.05, 5, { lastDigit: 0.01, errorMm: 0.05 })).allowedPercent).toBeCloseTo(1.2, 9)
  })
})

describe('checkLineUnit(unit, move)', () => {
  test('confirms the unit that the lines carry', () => {
    expect(checkLineUnit('in', move(0.1, 2.54))).toMatchObject({
      mmPerNumber: 25.4,
      unit: 'in',
      text: 'in, as the lines say',
    })
    expect(lineUnitMm('mm')).toBe(1)
  })

  test('contradicts it: a lathe readout shows diameters', () => {
    expect(() => checkLineUnit('mm', move(10, 5))).toThrow(
      /the lines say mm, but by them the known move is 100 % long/i,
    )
  })
})

test('sayOff(percent) rounds to two digits', () => {
  expect([0.001, 0.314, -2.55].map(sayOff)).toEqual(['exact', '0.31 % long', '2.5 % short'])
})
