import { describe, expect, it } from 'vitest'
import { UsageError } from '../../../src/errors/index.js'
import { nextStep, type Procedure, planSession } from '../../../src/planning/index.js'

const PROCEDURE: Procedure = {
  name: 'sample',
  title: 'Sample',
  marks: 'axis',
  passes: ['up', 'down', 'up'],
  directions: ['+', '-'],
  source: 'readout',
  minimumTravelTimeS: 20,
  longestTravelShare: 0.8,
  restS: 2,
  resetDial: true,
  cautions: [],
}
const AXIS = { marks: [1, 5, 10], dialMin: 0, dialMax: 10, stepped: false }

function codeOf(work: () => unknown): string {
  try {
    work()
  } catch (error) {
    if (error instanceof UsageError) return error.code
    throw error
  }
  return 'no error'
}

describe('planSession(procedure, axis)', () => {
  it('goes over all marks up, down and up, each direction at each mark, numbered from 1', () => {
    const plan = planSession(PROCEDURE, AXIS)
    expect(plan.procedure).toBe('sample')
    expect(plan.steps.map((step) => step.step)).toEqual(Array.from({ length: 18 }, (_, index) => index + 1))
    expect(plan.steps.map((step) => step.dial)).toEqual([
      1, 1, 5, 5, 10, 10, 10, 10, 5, 5, 1, 1, 1, 1, 5, 5, 10, 10,
    ])
    expect(plan.steps.slice(0, 2).map((step) => step.direction)).toEqual([1, -1])
    expect(plan.steps.map((step) => step.pass)).toEqual([
      ...Array(6).fill(1),
      ...Array(6).fill(2),
      ...Array(6).fill(3),
    ])
  })

  it("takes the procedure's own marks, in rising order and each once", () => {
    const plan = planSession({ ...PROCEDURE, marks: [7, 3, 7], passes: ['down'], directions: ['-'] }, AXIS)
    expect(plan.steps.map((step) => [step.dial, step.direction])).toEqual([
      [7, -1],
      [3, -1],
    ])
  })

  it('refuses a session without marks, marks off the dial, and marks a stepped dial does not have', () => {
    expect(codeOf(() => planSession(PROCEDURE, { ...AXIS, marks: [] }))).toBe('no-marks')
    expect(codeOf(() => planSession({ ...PROCEDURE, marks: [11] }, AXIS))).toBe('mark-outside-dial')
    const stepped = { ...AXIS, stepped: true }
    expect(codeOf(() => planSession({ ...PROCEDURE, marks: [2] }, stepped))).toBe('not-a-mark')
    expect(codeOf(() => planSession({ ...PROCEDURE, marks: [5] }, stepped))).toBe('no error')
  })
})

describe('nextStep', () => {
  it('goes on where the session stopped, whatever the order the steps were done in', () => {
    const plan = planSession(PROCEDURE, AXIS)
    expect(nextStep(plan, [])?.step).toBe(1)
    expect(nextStep(plan, [1, 2, 4])?.step).toBe(3)
    const all = plan.steps.map((step) => step.step)
    expect(nextStep(plan, all)).toBeNull()
  })
})
