import { expect, it } from 'vitest'
import { agreementsBetween } from '../../../src/planning/recheck/look-agreements.js'

// The agreement of two looks of which the later holds the runs of the earlier: the root of their variances' ratio, as in
// C. Jennison, B. W. Turnbull, Group Sequential Methods (2000), chapter 3 (from memory).
it('agreementsBetween takes the mark that agrees least between one look and the next', () => {
  expect(
    agreementsBetween([
      [4e-4, 4e-4],
      [1e-4, 2e-4],
      [1e-4, 1e-4],
    ]),
  ).toEqual([0.5, Math.sqrt(0.5)])
})

it('agreementsBetween passes over marks without a run, and takes looks with none in common for unlike', () => {
  expect(
    agreementsBetween([
      [4e-4, null],
      [1e-4, 1e-6],
    ]),
  ).toEqual([0.5])
  expect(
    agreementsBetween([
      [4e-4, null],
      [null, 1e-4],
    ]),
  ).toEqual([0])
  // Days can make a later look less sure; it agrees with the earlier one in full at most.
  expect(agreementsBetween([[1e-4], [2e-4]])).toEqual([1])
  expect(agreementsBetween([[1e-4]])).toEqual([])
})
