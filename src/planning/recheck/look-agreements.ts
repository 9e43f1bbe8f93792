import type { RunEvidence } from '../../regression/index.js'
import type { ErrorPosterior } from './error-points.js'
import type { Agreements } from './looks.js'
import type { MarkDifference } from './mark-differences.js'
import { expectedVariance, type LogFeedErrors } from './mean-errors.js'

/**
 * How well the differences of each look agree with those of the look before: as little as at the mark where they agree
 * least, which is on the safe side.
 *
 * @param looks the new runs of each look, those of earlier ones among them
 * @param marks of the last look
 * @param errorsWith what the error of a mark's difference was made of with some runs; null where none was made there
 */
export function lookAgreements<M extends MarkDifference>(
  looks: readonly (readonly RunEvidence[])[],
  marks: readonly M[],
  errorsWith: (mark: M, runs: readonly RunEvidence[]) => LogFeedErrors | null,
  posterior: ErrorPosterior,
): Agreements {
  return agreementsBetween(
    looks.map((runs) =>
      marks.map((mark) => {
        const errors = errorsWith(mark, runs)
        return errors && expectedVariance(errors, posterior)
      }),
    ),
  )
}

/** The same by the variance of each mark at each look; null at a mark where no run was made by then. */
export function agreementsBetween(variances: readonly (readonly (number | null)[])[]): Agreements {
  return variances.slice(1).map((after, k) => {
    const shared = after.flatMap((variance, i) => {
      const before = variances[k]![i]!
      return before === null || variance === null ? [] : [Math.sqrt(Math.min(1, variance / before))]
    })
    return shared.length === 0 ? 0 : Math.min(...shared)
  })
}
