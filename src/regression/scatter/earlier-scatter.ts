import { EARLIER_POWER } from './noise-model.js'
import { degreesOfFreedom, type ScatteringMark } from './restricted-likelihood.js'

/** What earlier tables of the same axis told beforehand of how far runs scatter. */
export interface EarlierScatter {
  /** Runs at repeated marks. */
  readonly runs: number
  /** Degrees of freedom that they count for: the power of the prior times their repeats. */
  readonly degreesOfFreedom: number
}

/** @returns null where there are none */
export function earlierScatter(marks: readonly ScatteringMark[]): EarlierScatter | null {
  if (marks.length === 0) return null
  return {
    runs: marks.reduce((sum, mark) => sum + mark.runIds.length, 0),
    degreesOfFreedom: EARLIER_POWER * degreesOfFreedom(marks),
  }
}
