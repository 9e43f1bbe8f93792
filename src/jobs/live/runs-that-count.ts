import { type Procedure, suggestedTravel, wantedTravel } from '../../planning/index.js'
import type { Axis, Run, Store } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import { formatPercentHalfWidth } from '../../units/index.js'
import { TAKEN_FOR_ABOUT } from '../plan/advise-table.js'
import type { TakeOutcome } from '../record/takes.js'

type Feed = Pick<NonNullable<Run['feed']>, 'feedMmPerMin' | 'interval95MmPerMin'>

/** Which ends of a recording cut off a traverse, and what broke it off there; null where none did. */
interface CutOff {
  readonly atStart: string | null
  readonly atEnd: string | null
}

/** Why a piece of a traverse does not count. */
export const LOST_WHILE_MOVING = 'the readout was lost while the table moved: make this traverse again'
/** The same where a person or the end of the program broke it off. */
export const LEFT_WHILE_MOVING = 'the recording was ended while the table moved: make this traverse again'

/**
 * Takes the pieces of a traverse that was broken off out of what counts. They stay in the store, raw lines and
 * judgement, with the reason.
 */
export function leaveOutPieces(
  store: Store,
  outcome: TakeOutcome<Run>,
  cut: CutOff,
  nowIso: string,
): TakeOutcome<Run> {
  const last = outcome.runs.length - 1
  return withRuns(outcome, (run, index) => {
    const reason = (index === 0 ? cut.atStart : null) ?? (index === last ? cut.atEnd : null)
    return reason === null ? run : leftOut(store, run, reason, nowIso)
  })
}

/** Takes runs out that are shorter than the procedure asks for, as far as the axis has room for more at their feed. */
export function leaveOutShort(
  store: Store,
  outcome: TakeOutcome<Run>,
  {
    procedure,
    axis,
  }: { readonly procedure: Procedure; readonly axis: Pick<Axis, 'travelMm' | 'leadscrewPitchMm'> },
  nowIso: string,
): TakeOutcome<Run> {
  return withRuns(outcome, (run) => {
    if (!run.accepted || run.feed === null || run.droppedAt !== null) return run
    const { timeS } = suggestedTravel({
      ...wantedTravel(procedure, axis),
      feedMmPerMin: run.feed.feedMmPerMin,
    })
    if (run.durationS >= TAKEN_FOR_ABOUT * timeS) return run
    const reason = `the traverse took ${run.durationS.toFixed(1)} s, and this procedure asks for at least ${Math.round(timeS)} s: travel further`
    return leftOut(store, run, reason, nowIso)
  })
}

/**
 * Half width of the interval, as a share of the feed, above which a film tells too little. Judgement: twice what two presses
 * of a stopwatch leave over half a minute, and a film is meant to tell more than they do.
 */
const MOST_UNSURE = 0.02

/** Whether a film tells a feed too badly to count: its digits could be read in too few frames. */
export function isTooUnsure({ feedMmPerMin, interval95MmPerMin: [low, high] }: Feed): boolean {
  return (high - low) / 2 > MOST_UNSURE * feedMmPerMin
}

/** Takes the runs of a film out that tell too little. */
export function leaveOutUnsure(store: Store, outcome: TakeOutcome<Run>, nowIso: string): TakeOutcome<Run> {
  return withRuns(outcome, (run) => {
    if (run.feed === null || !isTooUnsure(run.feed)) return run
    const percent = formatPercentHalfWidth(run.feed.feedMmPerMin, run.feed.interval95MmPerMin)
    const reason = `too few frames of the film could be read: they tell the feed to ${percent} only. Film nearer and sharper, without reflections`
    return leftOut(store, run, reason, nowIso)
  })
}

/** Takes runs in the other direction than planned out: the table was brought back, at whatever setting. */
export function leaveOutOtherWay(
  store: Store,
  outcome: TakeOutcome<Run>,
  direction: Direction | null,
  nowIso: string,
): TakeOutcome<Run> {
  if (direction === null) return outcome
  return withRuns(outcome, (run) =>
    run.direction === direction
      ? run
      : leftOut(store, run, 'the table went the other way than this travel was planned for', nowIso),
  )
}

function withRuns(outcome: TakeOutcome<Run>, change: (run: Run, index: number) => Run): TakeOutcome<Run> {
  return { ...outcome, runs: outcome.runs.map(change) }
}

function leftOut(store: Store, run: Run, reason: string, nowIso: string): Run {
  if (!run.accepted || run.droppedAt !== null) return run
  return { ...store.runs.drop(run.id, reason, nowIso), warnings: run.warnings }
}
