import { type RunEvidence, stopwatchFeed } from '../../src/regression/index.js'
import { type SeededRandom, type SimulatedMill, simulateRun } from '../../src/simulation/index.js'

/** How a machine is measured. */
export interface Plan {
  readonly marks: number
  readonly runs: number
}

export type ConditionName =
  | 'readout'
  | 'one direction'
  | 'stopwatch'
  | 'dial clicks'
  | 'one setting for two runs'
  | 'drive warms by 2 %'

/** What the method states it holds for; under the others it is only watched. */
export const STATED_CONDITIONS: readonly ConditionName[] = ['readout', 'stopwatch', 'dial clicks']
/** The least that a table is made of: it decides by itself, since the whole would drown it. */
export const LEAST_PLAN: Plan = { marks: 4, runs: 2 }
export const LEAST_CONDITION: ConditionName = 'one direction'
export const WATCHED_CONDITIONS: readonly ConditionName[] = ['one setting for two runs', 'drive warms by 2 %']

/** Relative standard uncertainty of a run's own feed from a readout: the upper end of what full runs show. */
const READOUT_RELATIVE = 5e-5
const STOPWATCH_S = 30
const PRESS_SPREAD_S = 0.07
/** From one run to the next: travel, setting, writing down, s. */
const BETWEEN_RUNS_S = 45
const WARM_UP = { relative: 0.02, timeConstantS: 900 }

export interface Campaign {
  readonly mill: SimulatedMill
  readonly dials: readonly number[]
  readonly runs: readonly RunEvidence[]
  /** The feed that a setting has, mm/min; of a drive that warms, at the mean warmth of the session. */
  trueFeed(dial: number, direction: 1 | -1): number
  /** One more setting of the dial and one more run. */
  nextFeed(dial: number, direction: 1 | -1): number
}

/** The marks of a plan: even from 1 to 10 on a dial to 10, whole numbers where the dial clicks to them. */
function marksOf(plan: Plan, stepped: boolean): number[] {
  const even = Array.from({ length: plan.marks }, (_, i) => 1 + (9 * i) / (plan.marks - 1))
  return stepped ? [...new Set(even.map(Math.round))] : even
}

/**
 * Measures a mill in both directions, or in one where the condition is that, by a plan, marks up, down, up, with the feeds that full runs would give. The
 * drawn mill is taken as it is, but for what the condition changes.
 */
export function measure(
  drawn: SimulatedMill,
  plan: Plan,
  condition: ConditionName,
  random: SeededRandom,
): Campaign {
  const mill: SimulatedMill = {
    ...drawn,
    dialResetScatter: condition === 'dial clicks' ? 0 : drawn.dialResetScatter,
    warmUp: condition === 'drive warms by 2 %' ? WARM_UP : null,
  }
  const seed = () => Math.floor(random.uniform() * 2 ** 31)
  const dials = marksOf(plan, mill.stepped)
  const runs: RunEvidence[] = []
  const kept = new Map<string, number>()
  let sinceColdS = 0
  let warmth = 0
  for (let pass = 0; pass < plan.runs; pass++) {
    for (const dial of pass % 2 === 0 ? dials : dials.toReversed()) {
      for (const direction of condition === 'one direction' ? ([1] as const) : ([1, -1] as const)) {
        const setting = `${dial}/${direction}/${condition === 'one setting for two runs' ? pass >> 1 : pass}`
        const keptDial = kept.get(setting)
        const request = {
          dial,
          direction,
          drivenMm: 10,
          sinceColdS,
          ...(keptDial === undefined ? {} : { keptDial }),
        }
        const { truth } = simulateRun(mill, request, seed())
        kept.set(setting, truth.dialActual)
        runs.push({
          runId: `${runs.length}`,
          dial,
          direction,
          setting,
          ...reading(truth.runFeedMmPerMin, condition, random),
        })
        warmth +=
          mill.warmUp === null
            ? 0
            : -mill.warmUp.relative * Math.expm1(-sinceColdS / mill.warmUp.timeConstantS)
        sinceColdS += BETWEEN_RUNS_S
      }
    }
  }
  const meanWarmth = 1 + warmth / runs.length
  const cold = { ...mill, warmUp: null }
  const ask = (dial: number, direction: 1 | -1) =>
    simulateRun(cold, { dial, direction, drivenMm: 10 }, seed()).truth
  return {
    mill,
    dials,
    runs,
    trueFeed: (dial, direction) => mill.curve(dial) * (direction === 1 ? 1 : mill.minusFactor) * meanWarmth,
    nextFeed: (dial, direction) => ask(dial, direction).runFeedMmPerMin * meanWarmth,
  }
}

function reading(
  runFeedMmPerMin: number,
  condition: ConditionName,
  random: SeededRandom,
): Pick<RunEvidence, 'feedMmPerMin' | 'standardUncertaintyMmPerMin' | 'source'> {
  if (condition !== 'stopwatch' || runFeedMmPerMin === 0) {
    const feedMmPerMin = runFeedMmPerMin * (1 + random.normal(0, READOUT_RELATIVE))
    return { feedMmPerMin, standardUncertaintyMmPerMin: READOUT_RELATIVE * feedMmPerMin, source: 'readout' }
  }
  const distanceMm = (runFeedMmPerMin * STOPWATCH_S) / 60
  const durationS = STOPWATCH_S + random.normal(0, PRESS_SPREAD_S) - random.normal(0, PRESS_SPREAD_S)
  const { feedMmPerMin, standardUncertaintyMmPerMin } = stopwatchFeed({ distanceMm, durationS })
  return { feedMmPerMin, standardUncertaintyMmPerMin, source: 'stopwatch' }
}

/** What a simulated reading of a run's own feed truly scatters by, relative. */
export function readingScatter(condition: ConditionName): number {
  return condition === 'stopwatch' ? (Math.SQRT2 * PRESS_SPREAD_S) / STOPWATCH_S : READOUT_RELATIVE
}

/** Five-point Gauss–Hermite rule for a standard normal (nodes of Abramowitz and Stegun, 1964, table 25.10, times √2). */
const NORMAL_NODES: readonly (readonly [node: number, weight: number])[] = [
  [-2.85697001387, 0.0112574113277],
  [-1.35562617997, 0.222075922006],
  [0, 0.533333333333],
  [1.35562617997, 0.222075922006],
  [2.85697001387, 0.0112574113277],
]

/**
 * What a run at a mark truly scatters by, relative: run to run, dial setting along the true curve, and reading.
 * @returns null where the table would stand still at some settings
 */
export function trueScatter(mill: SimulatedMill, dial: number, readingRelative: number): number | null {
  const points = NORMAL_NODES.map(([node, weight]) => ({
    weight,
    feed: mill.curve(dial + node * mill.dialResetScatter),
  }))
  if (points.some(({ feed }) => feed <= 0)) return null
  const mean = points.reduce((sum, { weight, feed }) => sum + weight * Math.log(feed), 0)
  const dialVariance = points.reduce(
    (sum, { weight, feed }) => sum + weight * (Math.log(feed) - mean) ** 2,
    0,
  )
  return Math.sqrt(mill.runScatter ** 2 + dialVariance + readingRelative ** 2)
}
