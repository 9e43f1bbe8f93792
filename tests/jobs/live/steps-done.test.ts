import { expect, it } from 'vitest'
import { doneSteps } from '../../../src/jobs/live/steps-done.js'
import { recheckSteps } from '../../../src/planning/index.js'

const { steps } = recheckSteps(
  [
    { dial: 3, runs: 2 },
    { dial: 7, runs: 1 },
  ],
  [1],
)

it('gives the runs of a travel the open steps of their settings, each step one run', () => {
  expect(steps.map(({ dial }) => dial)).toEqual([3, 7, 3])
  const travel = (dial: number, direction: 1 | -1 = 1) => ({ step: null, dial, direction })
  expect(doneSteps(steps, [travel(7), travel(3)])).toEqual([2, 1])
  // A run made for its step keeps it, whenever it was made; the travel's run takes the other one.
  expect(doneSteps(steps, [travel(3), { step: 1, dial: 3, direction: 1 }])).toEqual([1, 3])
  // A third run of a setting, another setting and the other direction settle nothing more.
  expect(doneSteps(steps, [travel(3), travel(3), travel(3), travel(5), travel(7, -1)])).toEqual([1, 3])
})
