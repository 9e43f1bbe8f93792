import { describe, expect, test } from 'vitest'
import { normalCdf, normalQuantile } from '../../../src/numbers/index.js'
import { decide, isBeyond, MOVED_SHARES, toleranceLimits } from '../../../src/planning/recheck/decision.js'
import { knobEstimate, scaleEstimate } from '../../../src/planning/recheck/mark-differences.js'
import { plainErrors } from '../../../src/planning/recheck/mean-errors.js'

/** Differences whose errors are normal and known. */
function differences(values: readonly number[], standardDeviation: number) {
  const errors = plainErrors(standardDeviation)
  return {
    marks: values.map((difference, i) => ({ dial: i + 1, direction: 1 as const, difference, errors })),
    posterior: { points: [{ weight: 1, runRelative: 0.01, dialReset: 0 }] },
  } as unknown as Parameters<typeof decide>[0]
}

test('what is moved shares its error out among the factor, the knob and the marks', () => {
  const { scale, knob, marks } = MOVED_SHARES
  expect(scale + knob + marks).toBeCloseTo(1, 12)
})

describe('isBeyond(estimate, withinPercent, level)', () => {
  const estimate = (value: number, standardDeviation: number) => ({
    value,
    error: [{ weight: 1, standardDeviation }],
  })

  test('is the two-sided normal test where there is no tolerance to speak of', () => {
    const z = -normalQuantile(0.025)
    expect(isBeyond(estimate(1.0001 * z, 1), 1e-9, 0.05)).toBe(true)
    expect(isBeyond(estimate(0.9999 * z, 1), 1e-9, 0.05)).toBe(false)
    expect(isBeyond(estimate(-1.0001 * z, 1), 1e-9, 0.05)).toBe(true)
  })

  test('is the one-sided test at the limit where the tolerance is wide', () => {
    const { low, high } = toleranceLimits(5)
    const z = -normalQuantile(0.05)
    expect(normalCdf((high - low) / -0.001)).toBe(0)
    expect(isBeyond(estimate(high + 1.0001 * z * 0.001, 0.001), 5, 0.05)).toBe(true)
    expect(isBeyond(estimate(high + 0.9999 * z * 0.001, 0.001), 5, 0.05)).toBe(false)
    expect(isBeyond(estimate(low - 1.0001 * z * 0.001, 0.001), 5, 0.05)).toBe(true)
    expect(isBeyond(estimate(0, 1e-9), 5, 0.05)).toBe(false)
  })
})

describe('decide(differences, rule)', () => {
  const level = (share: number) => 0.025 * share
  const rule = { withinPercent: 3, level, seed: 1, slopes: [0.5, 0.2, 0.1] }

  test('no mean of the marks lies further out than the furthest mark', () => {
    const values = [0.03, -0.01, 0.02]
    for (const slopes of [
      [0.5, 0.2, 0.1],
      [-0.5, -0.2, -0.1],
      [0, 0, 1],
    ]) {
      const knob = knobEstimate(differences(values, 0.004), slopes)!
      expect(Math.abs(knob.value)).toBeLessThanOrEqual(0.03)
    }
    expect(Math.abs(scaleEstimate(differences(values, 0.004)).value)).toBeLessThanOrEqual(0.03)
    expect(knobEstimate(differences(values, 0.004), [0, 0, 0])).toBeNull()
  })

  test.each([
    [[0, 0, 0], 'holds', false],
    [[0.015, 0.015, 0.015], 'holds', true],
    [[0.03, 0.03, 0.03], 'undecided', true],
    [[0.06, 0.06, 0.06], 'moved', true],
    [[0.06, 0, 0], 'moved', true],
    [[0.04, 0.016, 0.008], 'undecided', true],
  ] as const)('tells %j to be %s', (values, verdict, changed) => {
    const decision = decide(differences(values, 0.004), rule)
    expect([decision.verdict, decision.changed]).toEqual([verdict, changed])
  })

  test('tells a turned knob where no mark alone and no common factor would', () => {
    const turned = [0.045, 0.042, 0.002]
    const withKnob = decide(differences(turned, 0.0058), { ...rule, slopes: [0.5, 0.5, 0.02] })
    expect(withKnob.beyond).toEqual({ scale: false, knob: true })
    expect(withKnob.marks.map((mark) => mark.verdict)).not.toContain('moved')
    expect(withKnob.verdict).toBe('moved')
    expect(decide(differences(turned, 0.0058), { ...rule, slopes: null }).verdict).toBe('undecided')
  })
})
