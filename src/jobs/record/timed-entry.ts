import type { ClockAgreement, TimedRun } from '../../ingest/index.js'
import { JUDGE_METHOD, readingsFeed, type SlowEnd } from '../../regression/index.js'
import type { RunJudgement, StopwatchRecord } from '../../store/index.js'
import type { PressTiming } from './person-timing.js'

/** What an entry made of timed readings keeps beside distance and time: the readings themselves. */
interface TimedMarks {
  /** Time in s and position in mm of each, in order. */
  readonly readings: readonly (readonly [number, number])[]
  readonly timeLastDigitS: number
  readonly positionLastDigitMm: number
  /** How well the clock of a phone that stamped them agreed with this computer's; left out where none did. */
  readonly clock?: ClockAgreement
}

/** A traverse of timed readings as an entry that the store keeps: from the first reading to the last. */
export function timedEntry(run: TimedRun): StopwatchRecord {
  const [first, last] = [run.readings[0]!, run.readings.at(-1)!]
  const marks: TimedMarks = {
    readings: run.readings.map(({ timeS, positionMm }) => [timeS, positionMm]),
    timeLastDigitS: run.timeLastDigitS,
    positionLastDigitMm: run.positionLastDigitMm,
  }
  return {
    distanceMm: Math.abs(last.positionMm - first.positionMm),
    durationS: last.timeS - first.timeS,
    direction: run.direction,
    marks,
  }
}

/** The readings that an entry was made of; null for one timed from mark to mark. */
export function timedMarks({ marks }: StopwatchRecord): TimedMarks | null {
  // Written by `timedEntry`, or another kind of marks.
  return typeof marks === 'object' && marks !== null && 'readings' in marks ? (marks as TimedMarks) : null
}

/**
 * Judges a traverse of timed readings: its feed by a line through them. Three or more that lie on no line are kept and do
 * not count.
 */
export function judgeReadings(
  entry: StopwatchRecord,
  { readings, timeLastDigitS, positionLastDigitMm, clock }: TimedMarks,
  timing: PressTiming | null | undefined,
  leadscrewPitchMm: number | null,
): RunJudgement {
  const { feed, unsteady, slowEnd } = readingsFeed({
    timeS: readings.map(([timeS]) => timeS),
    positionMm: readings.map(([, positionMm]) => positionMm),
    timeLastDigitS,
    positionLastDigitMm,
    pressed: timing?.person !== null,
    ...(clock === undefined ? {} : { clockUncertaintyS: clock.standardUncertaintyS }),
    ...(timing == null
      ? {}
      : { timingSpreadS: timing.pressSpreadS, timingDegreesOfFreedom: timing.degreesOfFreedom }),
    ...(leadscrewPitchMm === null ? {} : { leadscrewPitchMm }),
  })
  return {
    direction: entry.direction,
    rejection:
      unsteady === null ? null : { code: 'readings-unsteady', message: offTheLine(readings, unsteady) },
    feed: unsteady === null ? feed : null,
    phases: null,
    distanceMm: entry.distanceMm,
    durationS: entry.durationS,
    coast: null,
    samples: { read: readings.length, used: unsteady === null ? readings.length : 0, rejected: {} },
    warnings: [
      ...(readings.length > 2 || timing != null ? [] : [ASSUMED]),
      ...(unsteady === null && slowEnd !== null ? [slowEndWarning(slowEnd)] : []),
    ],
    judgedWith: JUDGE_METHOD,
    window: null,
    clock: null,
  }
}

const ASSUMED = {
  code: 'timing-assumed',
  message:
    'Two readings do not show how good their times are, so the error of a press by hand is assumed. A third reading in between shows it, and whether the travel was steady.',
}

function slowEndWarning({ end, speedRatio }: SlowEnd): { code: string; message: string } {
  // As many digits as keep "1.00 times as fast" from being read as no difference.
  const times = `${speedRatio.toFixed(speedRatio < 0.995 ? 2 : 3)} times as fast`
  return {
    code: 'readings-slow-end',
    message:
      end === 'first'
        ? `From the first reading to the second the table went only ${times} as after it: perhaps the drive was not up to speed yet. Leave the first reading out, or begin later.`
        : `From the last reading but one to the last the table went only ${times} as before it: perhaps the drive had been let go already. Leave the last reading out, or end earlier.`,
  }
}

/** One sentence; three readings do not tell which of them is wrong. */
function offTheLine(
  readings: TimedMarks['readings'],
  { reading, lateS }: { readonly reading: number; readonly lateS: number },
): string {
  if (readings.length > 3) {
    const when = lateS > 0 ? 'late' : 'early'
    return `The readings do not lie on a line: number ${reading + 1} of ${readings.length} comes ${Math.abs(lateS).toFixed(2)} s too ${when} for the others. Look for a slip of the pen, or time a stretch of steady travel.`
  }
  const [a, b, c] = readings as [[number, number], [number, number], [number, number]]
  const faster = (b[1] - a[1]) / (b[0] - a[0]) / ((c[1] - b[1]) / (c[0] - b[0]))
  return `The readings do not lie on a line: from the first to the second the table went ${faster.toFixed(2)} times as fast as from there to the third. Look for a slip of the pen, or time a stretch of steady travel.`
}
