import { type ClockAgreement, type IngestedSamples, sessionTiming } from '../../ingest/index.js'
import { type CheckedRun, isBeyondTravel, rippleFactor } from '../../planning/mix-ups/index.js'
import {
  JUDGE_METHOD,
  type JudgedRun,
  judgeRecording,
  type RunFeed,
  stopwatchFeed,
} from '../../regression/index.js'
import type { Axis, RunJudgement, StopwatchRecord } from '../../store/index.js'
import { formatPercentHalfWidth } from '../../units/index.js'
import type { PressTiming } from './person-timing.js'
import { stopwatchClock } from './stopwatch-marks.js'
import { judgeReadings, timedMarks } from './timed-entry.js'

/** A traverse of a readout, judged, with what its samples tell of the unit and the clock of the readout. */
export interface JudgedTraverse extends RunJudgement {
  /** Left out for a stopwatch entry and for a traverse that was not accepted. */
  readonly told?: Pick<CheckedRun, 'lineIntervalS' | 'positionStepMm' | 'ripple'>
}

/** The samples of one recording. */
export interface TakenSamples extends IngestedSamples {
  /** How many settings the dial was turned through on the way; left out where it stood at one. */
  readonly levels?: number | undefined
}

/**
 * Judges the recordings of one session together: the readout's own clock, where it has one, is rated against the
 * host's over all of them, since one short recording tells its rate too coarsely.
 *
 * @param takes with the number of settings that the dial was turned through on the way, where it was
 * @param before earlier recordings of the session, for what they tell about that clock
 * @returns the runs of every recording, in the same order
 */
export function judgeReadoutTakes(
  takes: readonly TakenSamples[],
  axis: Pick<Axis, 'leadscrewPitchMm'>,
  before: readonly IngestedSamples[] = [],
): JudgedTraverse[][] {
  const { deviceClock, wireTime } = sessionTiming(takes, before)
  const options = {
    wireTime,
    ...(axis.leadscrewPitchMm === null ? {} : { leadscrewPitchMm: axis.leadscrewPitchMm }),
    ...(deviceClock === null ? {} : { deviceClock }),
  }
  return takes.map((take) =>
    judgeRecording(take, { ...options, ...(take.levels === undefined ? {} : { levels: take.levels }) }).map(
      (run) => ({
        ...readoutJudgement(run, take.samples.timeS),
        ...(run.feed === null ? {} : { told: toldBySamples(take, run, axis.leadscrewPitchMm) }),
      }),
    ),
  )
}

function toldBySamples(
  { samples, positionStepMm }: IngestedSamples,
  { traverse: { steadyIndices } }: JudgedRun,
  pitchMm: number | null,
): Required<JudgedTraverse>['told'] {
  const timeS = Float64Array.from(steadyIndices, (index) => samples.timeS[index]!)
  const positionMm = Float64Array.from(steadyIndices, (index) => samples.positionMm[index]!)
  return {
    lineIntervalS: (timeS.at(-1)! - timeS[0]!) / (timeS.length - 1),
    positionStepMm,
    ripple: pitchMm === null ? null : rippleFactor(timeS, positionMm, pitchMm),
  }
}

/** What is to be known of the axis that an entry was timed on. */
type TimedAxis = Pick<Axis, 'leadscrewPitchMm' | 'travelMm' | 'unit'>

/**
 * Judges one stopwatch entry, or one of timed readings.
 *
 * @param timing how sure the presses are; left out for the published spread
 * @param axis null where it is not known
 * @throws DataError `bad-stopwatch-entry`
 */
export function judgeStopwatch(
  entry: StopwatchRecord,
  timing: PressTiming | null | undefined,
  axis: TimedAxis | null,
): RunJudgement {
  const leadscrewPitchMm = axis?.leadscrewPitchMm ?? null
  const readings = timedMarks(entry)
  const clock = stopwatchClock(entry)
  if (readings !== null) {
    const judged = judgeReadings(entry, readings, timing, leadscrewPitchMm)
    const coarse = judged.feed === null ? [] : stopwatchWarnings(entry, judged.feed, axis)
    return { ...judged, warnings: [...judged.warnings, ...clockOrTiming(clock, coarse)] }
  }
  const feed = stopwatchFeed({
    distanceMm: entry.distanceMm,
    durationS: entry.durationS,
    ...(clock === null ? {} : { clockUncertaintyS: clock.standardUncertaintyS }),
    ...(timing == null
      ? {}
      : { pressSpreadS: timing.pressSpreadS, pressDegreesOfFreedom: timing.degreesOfFreedom }),
  })
  return {
    direction: entry.direction,
    rejection: null,
    feed,
    phases: null,
    distanceMm: entry.distanceMm,
    durationS: entry.durationS,
    coast: null,
    samples: { read: 0, used: 0, rejected: {} },
    warnings: clockOrTiming(clock, stopwatchWarnings(entry, feed, axis)),
    judgedWith: JUDGE_METHOD,
    window: null,
    clock: null,
  }
}

function readoutJudgement(run: JudgedRun, timeS: Float64Array): RunJudgement {
  const { traverse, feed, samples, warnings, clock } = run
  const { direction, rejection, phases, distanceMm, durationS, coast, window } = traverse
  return {
    direction,
    rejection,
    feed,
    phases,
    distanceMm,
    durationS,
    coast,
    samples,
    warnings,
    judgedWith: JUDGE_METHOD,
    window: { startS: timeS[window.from] ?? 0, endS: timeS[window.to - 1] ?? 0 },
    clock,
  }
}

/** A clock that went wrong is all that there is to say of a timing: a longer travel would not help. */
function clockOrTiming(
  clock: ClockAgreement | null,
  coarse: RunJudgement['warnings'],
): RunJudgement['warnings'] {
  const strayed = clockWarnings(clock)
  return strayed.length > 0 ? strayed : coarse
}

function clockWarnings(clock: ClockAgreement | null): RunJudgement['warnings'] {
  if (clock === null || clock.strayedS === 0) return []
  return [
    {
      code: 'phone-clock-strayed',
      message: `The clock of the phone was off by ${clock.strayedS.toFixed(2)} s around this timing, as happens when its screen goes dark. Keep the screen on and time it again.`,
    },
  ]
}

/**
 * Share of the feed up to which the timing is no worse than what changes from run to run. Judgement: scatter from
 * run to run is 0.3 to 2 %.
 */
const COARSE_TIMING = 0.005
/** What is asked for at least, s. Common practice with a stopwatch, no source. */
const LONG_ENOUGH_S = 30
/** Steps in which a time is asked for, s. Judgement: nobody aims at a single second. */
const ASKED_STEP_S = 5

function stopwatchWarnings(
  entry: StopwatchRecord,
  feed: RunFeed,
  axis: TimedAxis | null,
): RunJudgement['warnings'] {
  const share = feed.standardUncertaintyMmPerMin / feed.feedMmPerMin
  if (share <= COARSE_TIMING) return []
  // The error of the presses stays as it is, so that its share falls as the time grows.
  const fineEnoughS = (entry.durationS * share) / COARSE_TIMING
  const neededS = Math.max(LONG_ENOUGH_S, ASKED_STEP_S * Math.ceil(fineEnoughS / ASKED_STEP_S))
  const neededMm = (feed.feedMmPerMin * neededS) / 60
  const toDo =
    axis !== null && isBeyondTravel(neededMm, axis)
      ? `The axis is too short for the ${neededS} s that it should take at this setting: use all of its travel that is safe and make more runs, or time it with a readout or a film.`
      : `Travel further, so that it takes ${neededS} s or more.`
  return [
    {
      code: 'short-timing',
      message: `Timed over ${entry.durationS.toFixed(1)} s, the timing error alone is ${formatPercentHalfWidth(feed.feedMmPerMin, feed.interval95MmPerMin)}. ${toDo}`,
    },
  ]
}
