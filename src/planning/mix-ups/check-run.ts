import { feedUnit, formatDial, fromMm, type LengthUnit, unitWord } from '../../units/index.js'
import { agrees, feedMixUp, type KnownFeed } from './check-feed.js'
import { type AxisLimits, beyondTravel, isBeyondTravel } from './check-travel.js'
import type { Contradiction } from './contradiction.js'
import type { RippleFactor } from './ripple-unit.js'
import type { Reading } from './scale-factors.js'
import { stepTells } from './step-unit.js'

/** A run as far as it can contradict its machine. */
export interface CheckedRun {
  readonly dial: number | 'rapid'
  readonly feedMmPerMin: number
  /** Rest to rest, mm. */
  readonly distanceMm: number
  readonly durationS: number
  /** Usual time between the lines of a readout, s; null for a stopwatch. */
  readonly lineIntervalS: number | null
  /** Smallest step of the readout as read, mm; null where nothing tells it. */
  readonly positionStepMm: number | null
  readonly ripple: RippleFactor
  readonly reading: Reading
}

/** What a setting is known to feed, and where from: `table 3`, `an earlier run`. */
export interface Reference extends KnownFeed {
  readonly from: string
  /** Whether its own unit is shown; runs of the same call may all be wrong alike. */
  readonly unitShown: boolean
}

/** What came of holding a run against its machine. */
export interface RunCheck {
  readonly contradiction: Contradiction | null
  /** Whether the feed is near what its setting is known to feed. */
  readonly agrees: boolean
  /** Whether it is so beside something whose own unit is shown. */
  readonly agreesInUnit: boolean
  /** Whether something showed that the numbers are in the unit they were taken in. */
  readonly unitShown: boolean
}

/** No traverse takes longer, s: the slowest feed of a usual table passes its whole travel within it (common practice, no source). */
const LONGEST_TRAVERSE_S = 2 * 3600
/**
 * Time between lines, s, from which on they are those of a readout whose times are milliseconds taken for seconds.
 * Judgement: no readout in use sends less than once in five seconds, and 5 ms a line is its usual rate.
 */
const FAR_APART_S = 5
/**
 * The same for the length of a traverse, s. Judgement: nobody lets a table run for 25 minutes, and 1.5 s is the
 * shortest that gives a feed.
 */
const LONG_FOR_A_READOUT_S = 1500
/**
 * Time, s, from which on a stopwatch entry is asked about. Judgement: a run is timed for half a minute or a few, and the
 * least that is worth it, ten seconds, makes 600 s where it is taken for minutes.
 */
const LONG_BY_HAND_S = 600

/**
 * Holds a run against its machine: its travel against that of the axis, its time against the beat of the lines, its feed
 * against what the setting is known to feed, and the leadscrew's ripple against the pitch.
 *
 * @param reference what the setting is known to feed; null where nothing tells
 */
export function checkRun(run: CheckedRun, axis: AxisLimits, reference: Reference | null): RunCheck {
  const contradiction =
    timeUnit(run) ??
    beyondTravel(run.distanceMm, axis, run.reading) ??
    feedContradiction(run, reference, axis) ??
    rippleContradiction(run)
  const near = reference !== null && agrees(run.feedMmPerMin, reference)
  const nearInUnit = near && reference.unitShown
  return {
    contradiction,
    agrees: near,
    agreesInUnit: nearInUnit,
    unitShown: contradiction === null && (nearInUnit || unitShown(run, axis)),
  }
}

function timeUnit({ durationS, lineIntervalS }: CheckedRun): Contradiction | null {
  const hours = `${Number((durationS / 3600).toPrecision(2))} h`
  if (lineIntervalS !== null && lineIntervalS >= FAR_APART_S && durationS >= LONG_FOR_A_READOUT_S) {
    return {
      code: 'time-unit',
      message: `The lines come ${Math.round(lineIntervalS)} s apart and this traverse takes ${hours}: its times are probably milliseconds, taken as seconds.`,
      ofReadout: true,
    }
  }
  if (durationS < LONGEST_TRAVERSE_S) return null
  return {
    code: 'time-unit',
    message: `This traverse takes ${hours}: its time is probably in milliseconds, taken as seconds.`,
    ofReadout: false,
  }
}

function feedContradiction(
  run: CheckedRun,
  known: Reference | null,
  { unit, lettered }: AxisLimits,
): Contradiction | null {
  const mixUp = known === null ? null : feedMixUp(run.feedMmPerMin, known, run.reading)
  if (known === null || mixUp === null) return null
  const ratio = run.feedMmPerMin / known.feedMmPerMin
  const times = Number((ratio > 1 ? ratio : 1 / ratio).toPrecision(3))
  const than = `${times} times as ${ratio > 1 ? 'fast' : 'slow'} as the ${feedText(known.feedMmPerMin, unit)} of ${known.from}`
  return {
    code: 'unit-mismatch',
    message: `${feedText(run.feedMmPerMin, unit)} at dial ${formatDial(run.dial, { lettered })} is ${than}: probably ${mixUp.cause}, or the dial stood at another ${lettered ? 'letter' : 'number'}.`,
    ofReadout: mixUp.ofReadout && run.reading.basis !== 'lines',
  }
}

function rippleContradiction({ ripple, reading }: CheckedRun): Contradiction | null {
  // What a person said, or a known move showed, is better than a period.
  if (ripple === null || ripple === 1 || reading.basis !== 'assumed') return null
  const other = reading.unit === 'in' ? 'mm' : 'in'
  if (reading.unit === 'deg' || ripple > 1 !== (reading.unit === 'in')) return null
  return {
    code: 'unit-by-ripple',
    message: `The leadscrew's ripple shows in this travel once every ${ripple > 1 ? '25.4 pitches' : '25.4th of its pitch'}: the numbers are probably ${unitWord(other)} and were taken as ${unitWord(reading.unit)}.`,
    ofReadout: true,
  }
}

function unitShown(run: CheckedRun, axis: AxisLimits): boolean {
  const { source, basis, unit } = run.reading
  if (unit === 'deg' || source === 'stopwatch' || basis !== 'assumed' || run.ripple === 1) return true
  // Were the numbers inches, the table would have gone further than it can.
  if (unit === 'mm' && isBeyondTravel(25.4 * run.distanceMm, axis)) return true
  return run.positionStepMm !== null && stepTells(run.positionStepMm, unit, unit)
}

/** The warning of a run whose unit nothing shows, or against whose unit the step of the readout speaks. */
export function uncheckedUnit({ reading: { unit }, positionStepMm }: CheckedRun): {
  readonly code: 'unit-unchecked' | 'unit-doubtful'
  readonly message: string
} {
  const other = unit === 'in' ? 'mm' : 'in'
  const asRead = `taken as ${unitWord(unit)}, the unit of the machine`
  if (positionStepMm !== null && stepTells(positionStepMm, unit, other)) {
    const step = Number(fromMm(positionStepMm, unit).toPrecision(3))
    return {
      code: 'unit-doubtful',
      message: `The numbers of this readout step by ${step} and are ${asRead}; readouts step so in ${unitWord(other)}. Look at the readout, and give the unit.`,
    }
  }
  return {
    code: 'unit-unchecked',
    message: `Nothing yet confirms the unit of this readout, when its numbers are ${asRead}. Look at the readout, and give the unit.`,
  }
}

/** The warning of a stopwatch entry whose time may be seconds that were taken as minutes; null where it is short. */
export function longByHand({ durationS, reading }: CheckedRun): {
  readonly code: 'time-unit'
  readonly message: string
} | null {
  if (reading.source !== 'stopwatch' || durationS < LONG_BY_HAND_S) return null
  return {
    code: 'time-unit',
    message:
      'Was a run timed for ten minutes or more? If its time was seconds that were taken as minutes, leave the run out and enter it again.',
  }
}

function feedText(feedMmPerMin: number, unit: LengthUnit): string {
  return `${Number(fromMm(feedMmPerMin, unit).toPrecision(4))} ${feedUnit(unit)}`
}
