import { DataError, sentence, way } from '../../errors/index.js'
import { Z95 } from '../../numbers/z95.js'
import { axisSides, FEW_TURNS_MM, type FitOptions, type RunEvidence } from '../../regression/index.js'
import type { Direction } from '../../traverse/index.js'
import { RAMPS_S } from '../session/session-time.js'
import {
  expectedHalfWidth,
  halfWidthAt,
  likelyScatters,
  type PlannedRuns,
  relativeSlope,
  scatterOf,
} from './expected-width.js'
import { MOST_AT_SETTING } from './most-at-setting.js'
import { type Instrument, runUncertainty } from './run-uncertainty.js'
import { typicalScatter } from './typical-scatter.js'

/** What is wanted, and what there is. */
export interface AdviceQuestion {
  readonly feedMmPerMin: number
  /** Relative half width that the 95 % interval of the mean feed shall have. */
  readonly within: number
  readonly instrument: Instrument
  readonly direction: Direction
  /** Where the dial gives that feed as far as is known; null where nothing tells. */
  readonly dial: number | null
  readonly axis: {
    readonly travelMm: number
    readonly dialMin: number
    readonly dialMax: number
  } & FitOptions
  /** Travels are advised in whole multiples of this, mm. */
  readonly handyMm: number
  /** Runs of the axis that a fit would use. */
  readonly earlier: readonly RunEvidence[]
  /** Relative half width that the table in force has at that dial, such as from the marks around; null without one. */
  readonly tableHalfWidth: number | null
}

export interface Advice {
  /** Where the runs are to be made; null where nothing tells which dial gives the feed and a guess was reckoned with. */
  readonly dial: number | null
  /** Distance of one run, mm: between the two marks of a stopwatch, from start to stop with a readout. */
  readonly travelMm: number
  /** How long that takes, s. */
  readonly timeS: number
  /** Further runs at this setting, the dial set anew for each; 0 where it is reached already. */
  readonly runs: number
  /** Half width that the 95 % interval is expected to have then, percent of the feed. */
  readonly expectedPercent: number
  /** Half width that it has now, percent; null where no setting was repeated. */
  readonly nowPercent: number | null
  /** Where the expectation comes from. */
  readonly scatter: {
    readonly from: 'earlier-runs' | 'typical'
    readonly runPercent: number
    readonly dialReset: number
    readonly degreesOfFreedom: number
  }
  /** Relative standard uncertainty of each run by itself, percent. */
  readonly ownPercent: number
}

/**
 * Share of the axis that a traverse takes at most. Judgement: a tenth at either end keeps the table off its stops.
 */
const LONGEST_TRAVEL_SHARE = 0.8
/**
 * Times that a run may take, s. Judgement: a person gets the lever and the lines ready in the shortest; nobody
 * holds out longer than the longest; steps of a third or more between them.
 */
const TIMES_S = [15, 20, 30, 45, 60, 90, 120]
/** Setting the dial, going back and writing down, s a run (common practice, no source). */
const BETWEEN_RUNS_S = 45

/**
 * How long a traverse and how many further runs at one setting bring the 95 % interval of its mean feed within what is
 * wanted, in the least time. What comes of the runs is worked out by the fit itself (`expectedHalfWidth`), with the
 * scatter that the axis' repeats have shown, or a typical one before there are any.
 *
 * @throws DataError `not-reachable` telling what the most runs would give
 */
export function advise(question: AdviceQuestion): Advice {
  const { earlier, axis, direction, feedMmPerMin, within } = question
  const { dial, told } = placeOf(question)
  const { posterior } = scatterOf(earlier, axis)
  const dialRepeats = axis.stepped || axis.dialClicks === true
  const now = least(halfWidthAt(earlier, dial, direction, axis), question.tableHalfWidth)
  const scatters =
    posterior === null
      ? [typicalScatter(axis.dialMax - axis.dialMin, dialRepeats)]
      : likelyScatters(posterior)
  const known = {
    dial: told ? dial : null,
    nowPercent: now === null ? null : 100 * now,
    scatter: {
      from: posterior === null ? ('typical' as const) : ('earlier-runs' as const),
      runPercent: 100 * mean(scatters, (one) => one.runRelative),
      dialReset: mean(scatters, (one) => one.dialReset),
      degreesOfFreedom: posterior?.degreesOfFreedom ?? 0,
    },
  }
  const slope = relativeSlope(earlier, dial, direction, feedMmPerMin)
  const scatterVariance = mean(scatters, (one) => one.runRelative ** 2 + (slope * one.dialReset) ** 2)
  /** Runs as a normal variable of known scatter would need them: the right size, found at once. */
  const roughRuns = ({ own }: TravelChoice) =>
    Math.min(MOST_AT_SETTING, Math.max(1, Math.ceil((scatterVariance + own ** 2) * (Z95 / within) ** 2)))
  const cost = (choice: TravelChoice) => roughRuns(choice) * (choice.timeS + BETWEEN_RUNS_S)
  const choices = travelChoices(question, known.scatter.runPercent / 100)
  const best = choices.reduce((least, one) => (cost(one) < cost(least) ? one : least))
  if (now !== null && now <= within) return answer(known, best, 0, now)
  let closest = Number.POSITIVE_INFINITY
  for (const travel of new Set([best, choices.at(-1)!])) {
    const planned: PlannedRuns = { dial, direction, feedMmPerMin, runRelativeUncertainty: travel.own }
    const widthAfter = (count: number) => expectedHalfWidth(earlier, scatters, planned, count, axis)
    const found = fewestRuns(widthAfter, within, roughRuns(travel))
    if (found.width <= within) return answer(known, travel, found.runs, found.width)
    closest = Math.min(closest, found.width)
  }
  throw notReachable(closest, within)
}

/**
 * Share by which the feed of a run may be off the one asked for to count as made at its setting. Judgement: the
 * usual scatter from run to run is 0.3 to 2 %.
 */
const SAME_SETTING = 0.02

/**
 * The dial to reckon with: as asked, or that of a run that fed nearly the same. Where nothing tells, a guess on the line
 * through the run that fed most nearly so, from standing still at the slow end of the dial; the middle of the dial
 * before there is any run.
 */
function placeOf(question: AdviceQuestion): { dial: number; told: boolean } {
  const { earlier, axis, direction, feedMmPerMin } = question
  if (question.dial !== null) return { dial: question.dial, told: true }
  const slowEnd = axisSides(earlier).trend === 1 ? axis.dialMin : axis.dialMax
  const off = (run: RunEvidence) => Math.abs(Math.log(run.feedMmPerMin / feedMmPerMin))
  const [first, ...others] = earlier.filter(
    (run) => run.direction === direction && run.feedMmPerMin > 0 && run.dial !== slowEnd,
  )
  if (first === undefined) return { dial: (axis.dialMin + axis.dialMax) / 2, told: false }
  const nearest = others.reduce((best, run) => (off(run) < off(best) ? run : best), first)
  if (off(nearest) <= SAME_SETTING) return { dial: nearest.dial, told: true }
  const share = feedMmPerMin / nearest.feedMmPerMin
  return { dial: slowEnd + (nearest.dial - slowEnd) * share, told: false }
}

function answer(
  known: Pick<Advice, 'dial' | 'nowPercent' | 'scatter'>,
  { travelMm, timeS, own }: TravelChoice,
  runs: number,
  width: number,
): Advice {
  return { ...known, travelMm, timeS, runs, expectedPercent: 100 * width, ownPercent: 100 * own }
}

interface TravelChoice {
  readonly travelMm: number
  readonly timeS: number
  /** Relative standard uncertainty of a run's own feed. */
  readonly own: number
}

/**
 * Uncertainty of a run, over the scatter of runs, below which a longer run gains nothing. Derived: a tenth widens
 * the sum of squares by 0.5 %.
 */
const SURE_SHARE = 0.1

/**
 * Travels that may be made, shortest first, up to the first that is sure enough by itself; the longest that the axis
 * allows where even that is short.
 */
function travelChoices(
  { feedMmPerMin, instrument, axis, handyMm }: AdviceQuestion,
  runRelative: number,
): TravelChoice[] {
  const rampsS = instrument.kind === 'readout' ? RAMPS_S : 0
  const longestS = (60 * LONGEST_TRAVEL_SHARE * axis.travelMm) / feedMmPerMin
  const leastS = instrument.kind === 'readout' ? (60 * FEW_TURNS_MM) / feedMmPerMin + rampsS : 0
  const shortestS = Math.min(longestS, Math.max(TIMES_S[0]!, leastS))
  const times = [shortestS, ...TIMES_S.filter((timeS) => timeS > shortestS && timeS <= longestS)]
  const choices = times.map((wantedS): TravelChoice => {
    const travelMm = handy((feedMmPerMin * wantedS) / 60, handyMm, LONGEST_TRAVEL_SHARE * axis.travelMm)
    const timeS = (60 * travelMm) / feedMmPerMin
    const own = runUncertainty(instrument, feedMmPerMin, Math.max(timeS - rampsS, timeS / 2))
    return { travelMm, timeS, own }
  })
  const enough = choices.findIndex((one) => one.own <= SURE_SHARE * runRelative)
  return enough === -1 ? choices : choices.slice(0, enough + 1)
}

/** Up to the next handy length, or as it is where that would be too far. */
function handy(travelMm: number, handyMm: number, longestMm: number): number {
  const up = Math.ceil(travelMm / handyMm - 1e-9) * handyMm
  return up <= longestMm ? up : travelMm
}

/**
 * Fewest runs that come within what is wanted, or the most there may be; widths fall with the number of runs. Looks
 * around a first guess, since every look costs a hundred fits.
 */
function fewestRuns(
  widthAfter: (count: number) => number | null,
  within: number,
  guess: number,
): { runs: number; width: number } {
  const at = (count: number) => ({ runs: count, width: widthAfter(count) ?? Number.POSITIVE_INFINITY })
  let failed = 0
  let reached = at(guess)
  while (reached.width > within) {
    if (reached.runs === MOST_AT_SETTING) return reached
    failed = reached.runs
    reached = at(Math.min(MOST_AT_SETTING, reached.runs + Math.max(1, Math.round(reached.runs / 2))))
  }
  while (reached.runs - failed > 1) {
    const middle = at(Math.floor((failed + reached.runs) / 2))
    if (middle.width <= within) reached = middle
    else failed = middle.runs
  }
  return reached
}

function notReachable(closest: number, within: number): DataError {
  const best = 100 * closest
  const percent = (Math.ceil(best * 11) / 10).toFixed(1)
  return new DataError(
    'not-reachable',
    `Even ${MOST_AT_SETTING} runs at this setting would leave ± ${best.toPrecision(2)} %, not ± ${Number((100 * within).toPrecision(3))} %.`,
    sentence`Ask for ± ${percent} % or more${way('tolerance', { percent })}, or reduce the scatter: set the dial more exactly, let the drive warm up.`,
  )
}

function mean<T>(values: readonly T[], of: (value: T) => number): number {
  return values.reduce((sum, value) => sum + of(value), 0) / values.length
}

function least(one: number | null, other: number | null): number | null {
  if (one === null || other === null) return one ?? other
  return Math.min(one, other)
}
