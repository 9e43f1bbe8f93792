import { describe, expect, test } from 'vitest'
import { verdictOf } from '../../scripts/proof/report/targets.js'
import {
  addFindings,
  addRatio,
  keyOf,
  meanOf,
  noFindings,
  quantileOf,
  shareOf,
} from '../../scripts/proof/tally.js'

describe('standard errors of the simulation', () => {
  test('of a share over single trials is the binomial one', () => {
    const findings = noFindings()
    for (let k = 0; k < 400; k++) addRatio(findings, 'f', {}, Number(k % 4 === 0), 1)
    const { value, standardError, count } = shareOf(findings.ratios[keyOf('f')]!)
    expect([value, count]).toEqual([0.25, 400])
    expect(standardError).toBeCloseTo(Math.sqrt((0.25 * 0.75) / 400), 3)
  })

  test('grows with what is alike within a cluster', () => {
    const findings = noFindings()
    // Ten in a row hit or miss together: a tenth as many independent trials.
    for (let k = 0; k < 40; k++) addRatio(findings, 'f', {}, k % 4 === 0 ? 10 : 0, 10)
    expect(shareOf(findings.ratios[keyOf('f')]!).standardError).toBeCloseTo(Math.sqrt((0.25 * 0.75) / 39), 6)
  })

  test('of a share of all is not nothing', () => {
    const findings = noFindings()
    for (let k = 0; k < 50; k++) addRatio(findings, 'f', {}, 1, 1)
    expect(shareOf(findings.ratios[keyOf('f')]!).standardError).toBeGreaterThan(0.01)
  })

  test('of a quantile spans the neighbouring order statistics', () => {
    const even = Array.from({ length: 1001 }, (_, i) => i / 1000)
    const { value, standardError } = quantileOf(even, 0.95)
    expect(value).toBe(0.95)
    expect(standardError).toBeCloseTo(Math.sqrt((0.95 * 0.05) / 1001), 2)
  })
})

test('findings of two workers add up to those of one', () => {
  const [both, one, other] = [noFindings(), noFindings(), noFindings()]
  for (let k = 0; k < 20; k++) {
    for (const findings of [both, k % 2 === 0 ? one : other]) {
      addRatio(findings, 'f', { family: k < 10 ? 'a' : 'b' }, k, 20)
    }
  }
  addFindings(one, other)
  expect(one.ratios).toEqual(both.ratios)
  expect(meanOf(one.ratios[keyOf('f', 'family', 'b')]!).value).toBeCloseTo(14.5 / 20, 12)
})

test.each([
  [95, 0.5, 'met'],
  [93.2, 0.5, 'within the simulation’s own error'],
  [92.8, 0.5, 'missed'],
  [97.5, 0.1, 'missed'],
] as const)('%f ± %f against 94–97 is %s', (value, standardError, verdict) => {
  expect(verdictOf({ low: 94, high: 97 }, { value, standardError, count: 1 })).toBe(verdict)
})

test('a figure that nothing is wanted of has no verdict', () => {
  expect(verdictOf({ low: null, high: null }, { value: 1, standardError: 1, count: 1 })).toBeNull()
})
