import { expect, test } from 'vitest'
import { carriedBudget, type UncertaintyBudget } from '../../../src/planning/index.js'

test('carriedBudget(earlier, change) adds one line, in squares; shares add up to 100 %', () => {
  const line = (appliesTo: 'mean' | 'next', percent: number) => ({
    source: 'run-to-run' as const,
    appliesTo,
    standardUncertaintyPercent: percent,
    varianceSharePercent: 100,
  })
  const earlier: UncertaintyBudget = {
    lines: [line('mean', 0.3), line('next', 1.2)],
    combinedPercent: { mean: 0.3, next: 1.2 },
    runWeights: new Map([['a', 1]]),
  }
  const { lines, combinedPercent, runWeights } = carriedBudget(earlier, 0.4)
  expect(combinedPercent.mean).toBeCloseTo(0.5, 12)
  expect(combinedPercent.next).toBeCloseTo(Math.hypot(1.2, 0.4), 12)
  expect(lines.map((one) => [one.source, one.appliesTo])).toEqual([
    ['run-to-run', 'mean'],
    ['recheck', 'mean'],
    ['run-to-run', 'next'],
    ['recheck', 'next'],
  ])
  expect(lines[0]!.varianceSharePercent! + lines[1]!.varianceSharePercent!).toBeCloseTo(100, 9)
  expect(lines[1]!.varianceSharePercent).toBeCloseTo(64, 9)
  expect(runWeights).toBe(earlier.runWeights)

  const unknown = carriedBudget({ ...earlier, combinedPercent: { mean: null, next: null } }, 0.4)
  expect(unknown.combinedPercent.mean).toBeNull()
  expect(unknown.lines[1]!.varianceSharePercent).toBeNull()
})
