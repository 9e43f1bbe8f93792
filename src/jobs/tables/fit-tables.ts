import { DataError, sentence, way } from '../../errors/index.js'
import {
  FIT_METHOD,
  type FittedAxis,
  fitAxis,
  MARKS_FOR_SHAPE,
  type RunEvidence,
  scatterBefore,
  WARM_FIT_METHOD,
  type WidestGap,
  widestGaps,
} from '../../regression/index.js'
import type { Axis, LeftOutRun, RunFilter, Store, StoredTable } from '../../store/index.js'
import { directionSign } from '../../units/index.js'
import { toldForAnyDay } from './days-of-table.js'
import { dialOf } from './dial-of-axis.js'
import { earlierStates, withoutOtherStates } from './machine-state.js'

/** What a fit made, and which runs it could not use. */
export interface FitOutcome {
  /** As told for any day. */
  readonly tables: readonly StoredTable[]
  readonly fitted: FittedAxis
  /** Where one more mark would tell most of the curve. */
  readonly widestGaps: readonly WidestGap[]
  readonly leftOut: readonly LeftOutRun[]
}

/** Which runs a fit may use. */
interface FitChoice {
  readonly filter: RunFilter
  /** Also runs from before the machine was found to have moved, and those of a recheck that has not decided. */
  readonly mixed?: boolean
  readonly reason: string | null
  readonly fittedAt: string
  /** Take out how the feed changes while the drive warms up. */
  readonly warmUp?: boolean
}

/**
 * Fits every direction measured on an axis from its accepted runs and keeps the tables as new versions. Runs from before
 * a recheck that found the machine moved stay out, unless they are named or `mixed` is asked for: they were made on
 * another machine, so to speak.
 *
 * @throws DataError `too-few-runs` where no run can serve; UsageError `unknown-run`
 */
export function fitTables(store: Store, axis: Axis, fit: FitChoice): FitOutcome {
  // A name that no run bears is told before anything is fitted without it.
  for (const id of fit.filter.runIds ?? []) store.runs.get(id)
  const found = store.runs.evidenceFor(axis.id, fit.filter)
  const named = fit.filter.runIds !== undefined
  const { evidence, leftOut } = fit.mixed || named ? found : withoutOtherStates(store, axis, found)
  if (!fit.mixed && Object.keys(fit.filter).length === 0) refuseThinner(store, axis, evidence, leftOut)
  if (evidence.length === 0) {
    throw new DataError(
      'too-few-runs',
      leftOut.length === 0
        ? 'There are no runs to fit yet.'
        : `None of the ${leftOut.length} runs can be used: ${leftOut[0]?.message ?? ''}`,
      sentence`Calibrate${way('calibrate')}, or record single runs${way('traverse')}: 4 marks or more, each with 2 runs or more, setting the dial again for each run.`,
    )
  }
  const options = dialOf(axis)
  const before = fit.mixed || named ? [] : earlierStates(store, axis, store.runs.list(axis.id), fit.fittedAt)
  const fitted = fitAxis(evidence, {
    ...options,
    warmUp: fit.warmUp === true,
    earlier: scatterBefore(before, options),
  })
  const tables = store.tables.save({
    axisId: axis.id,
    fitted,
    method: fitted.warmUp?.takenOut ? WARM_FIT_METHOD : FIT_METHOD,
    fittedAt: fit.fittedAt,
    reason: fit.reason,
  })
  return {
    tables: tables.map((table) => toldForAnyDay(store, axis, table)),
    fitted,
    widestGaps: widestGaps(fitted, options),
    leftOut,
  }
}

/**
 * After a move only newer runs serve, often those of the recheck alone: what they give at three marks must not replace
 * a whole table unasked. Where nothing lies between the marks, every mark that is not measured again would be lost.
 */
function refuseThinner(
  store: Store,
  axis: Axis,
  evidence: readonly RunEvidence[],
  leftOut: readonly LeftOutRun[],
): void {
  if (!leftOut.some((run) => run.code === 'before-move')) return
  for (const direction of [1, -1] as const) {
    const known = store.tables.inForce(axis.id, direction)?.marks.length ?? 0
    const dials = new Set(evidence.filter((run) => run.direction === direction).map((run) => run.dial))
    if (dials.size === 0 || dials.size >= (axis.stepped ? known : Math.min(known, MARKS_FOR_SHAPE))) continue
    throw new DataError(
      'too-few-since-move',
      `A recheck found that the table had moved, and since then only ${dials.size} of its ${known} marks were measured in direction ${directionSign(direction)}.`,
      sentence`Calibrate first. If the recheck offered a new table, take that one${way('adopt')}. Or name the runs to fit${way('chosen-runs')}, or fit all of them${way('all-runs')}.`,
    )
  }
}
