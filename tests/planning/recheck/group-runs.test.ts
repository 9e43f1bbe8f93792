import { expect, it } from 'vitest'
import { fastestOf, groupRuns } from '../../../src/planning/recheck/group-runs.js'
import { runsAt } from '../../regression/run-evidence.js'

const PLUS = runsAt([
  [4, [200, 202]],
  [2, [100]],
])
const MINUS = runsAt([[4, [190]]], -1)

it('groupRuns gives the marks of both directions, plus first, each by its dial', () => {
  const groups = groupRuns([...MINUS, ...PLUS], 202)
  expect(groups.map(({ direction, dial, feedsMmPerMin }) => [direction, dial, feedsMmPerMin])).toEqual([
    [1, 2, [100]],
    [1, 4, [200, 202]],
    [-1, 4, [190]],
  ])
})

it('fastestOf gives the fastest run of all lists, 0 without any', () => {
  expect(fastestOf(MINUS, PLUS, [])).toBe(202)
  expect(fastestOf()).toBe(0)
  expect(fastestOf([], [])).toBe(0)
})
