import { DataError } from '../errors/index.js'
import { FIT_METHOD, type FittedAxis, fitAxis, WARM_FIT_METHOD } from '../regression/index.js'
import type { Axis, LeftOutRun, RunFilter, Store, StoredTable } from '../store/index.js'

/** What a fit made, and which runs it could not use. */
export interface FitOutcome {
  readonly tables: readonly StoredTable[]
  readonly fitted: FittedAxis
  readonly leftOut: readonly LeftOutRun[]
}

/**
 * Fits every direction measured on an axis from its accepted runs and keeps the tables as new versions.
 *
 * @param fit.filter which runs may serve; all of the axis where it is empty
 * @param fit.warmUp take out how the feed changes while the drive warms up
 * @throws DataError `too-few-runs` where no run can serve
 */
export function fitTables(
  store: Store,
  axis: Axis,
  fit: {
    readonly filter: RunFilter
    readonly reason: string | null
    readonly fittedAt: string
    readonly warmUp?: boolean
  },
): FitOutcome {
  const { evidence, leftOut } = store.runs.evidenceFor(axis.id, fit.filter)
  if (evidence.length === 0) {
    throw new DataError(
      'too-few-runs',
      leftOut.length === 0
        ? 'There are no runs to fit yet.'
        : `None of the ${leftOut.length} runs can serve: ${leftOut[0]?.message ?? ''}`,
      'Record runs with `tablepace traverse` or `tablepace calibrate`: at least 4 marks, each set anew 2 times or more.',
    )
  }
  const fitted = fitAxis(evidence, {
    stepped: axis.stepped,
    dialClicks: axis.dialClicks,
    warmUp: fit.warmUp === true,
  })
  const tables = store.tables.save({
    axisId: axis.id,
    fitted,
    method: fitted.warmUp?.takenOut ? WARM_FIT_METHOD : FIT_METHOD,
    fittedAt: fit.fittedAt,
    reason: fit.reason,
  })
  return { tables, fitted, leftOut }
}
