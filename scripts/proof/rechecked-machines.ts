import { fastestOf, groupRuns } from '../../src/planning/recheck/group-runs.js'
import { type CheckedTable, planRecheck, recheck } from '../../src/planning/recheck/index.js'
import { fitAxis, fitMark, noisePosterior, type RunEvidence } from '../../src/regression/index.js'
import { type SeededRandom, type SimulatedMill, seededRandom } from '../../src/simulation/index.js'
import { CONTINUOUS_FAMILIES } from './dial-families.js'
import { drawnMill, pick } from './drawn-mill.js'

/** What happened to the machine between its table and the recheck. */
export type Change =
  | { readonly kind: 'nothing' }
  /** The feed of all settings, as a share of the tolerance. */
  | { readonly kind: 'scale'; readonly tolerances: number }
  /** The feed at one rechecked mark alone: the hardest place for a false `holds`. */
  | { readonly kind: 'one mark'; readonly tolerances: number }
  /** The knob on its shaft, dial units. */
  | { readonly kind: 'offset'; readonly dial: number }

/** How a whole recheck went: until it decided, or had nothing left to ask for. */
export interface RecheckedMachine {
  readonly verdict: 'holds' | 'moved' | 'undecided'
  readonly looks: number
  readonly runs: number
  readonly withinPercent: number
  /** The cause named, where it moved. */
  readonly cause: 'scale' | 'offset' | 'shape' | null
  /** Whether the 95 % interval of the factor at the last look held the true one; null where no factor was at work. */
  readonly scaleHeld: boolean | null
}

/** Relative standard uncertainty of a run's own feed from a readout: the upper end of what full runs show. */
const READING = 5e-5
const TOLERANCES_PERCENT = [2, 3, 4, 5]
/** A tolerance is sensible for a machine when its table alone could show half of it. */
const SENSIBLE_SHARE = 0.5

interface Measured {
  readonly mill: SimulatedMill
  readonly tables: readonly CheckedTable[]
  readonly runs: readonly RunEvidence[]
}

/** Draws a machine, measures its table, and rechecks it under a sensible tolerance; null where none of 2 to 5 % is. */
export function recheckedMachine(
  seed: number,
  change: Change,
  options: { readonly curve: boolean; readonly directions: 1 | 2 },
): RecheckedMachine | null {
  const random = seededRandom(seed)
  const mill = drawnMill(pick(random, CONTINUOUS_FAMILIES), seed)
  const measured = measureTable(mill, random, options)
  for (const withinPercent of TOLERANCES_PERCENT) {
    const plan = planRecheck(measured.tables, [measured.runs], withinPercent, { stepped: false })
    if (plan === null || plan.finest.withinPercent > SENSIBLE_SHARE * withinPercent) continue
    return wholeRecheck(measured, plan.runs, withinPercent, change, random)
  }
  return null
}

function measureTable(
  mill: SimulatedMill,
  random: SeededRandom,
  options: { readonly curve: boolean; readonly directions: 1 | 2 },
): Measured {
  const count = 5 + Math.floor(6 * random.uniform())
  const repeats = 2 + Math.floor(2 * random.uniform())
  const dials = Array.from({ length: count }, (_, i) => 1 + (9 * i) / (count - 1))
  const directions = ([1, -1] as const).slice(0, options.directions)
  const runs = directions.flatMap((direction) =>
    dials.flatMap((dial) =>
      Array.from({ length: repeats }, (_, k) =>
        runOf(mill, random, { dial, direction, id: `then/${direction}/${dial}/${k}` }, 0, 0),
      ),
    ),
  )
  const fitted = options.curve ? fitAxis(runs, { stepped: false }) : null
  const tables = directions.map((direction): CheckedTable => {
    const own = runs.filter((run) => run.direction === direction)
    const side = fitted?.directions.find((one) => one.direction === direction)
    const common = { direction, runs: own, commonAt: () => new Map<string, number>() }
    return side === undefined
      ? { ...common, marks: marksAlone(runs, direction), curve: [] }
      : { ...common, marks: side.marks, curve: side.curve }
  })
  return { mill, tables, runs }
}

/** The marks as a fit makes them, without the curve, which takes most of its time. */
function marksAlone(runs: readonly RunEvidence[], direction: 1 | -1): CheckedTable['marks'] {
  const groups = groupRuns(runs, fastestOf(runs))
  const posterior = noisePosterior(groups, { dialRepeats: false })
  return groups.filter((group) => group.direction === direction).map((group) => fitMark(group, posterior))
}

/** One setting of the dial and one run. */
function runOf(
  mill: SimulatedMill,
  random: SeededRandom,
  run: { readonly dial: number; readonly direction: 1 | -1; readonly id: string },
  logFactor: number,
  offset: number,
): RunEvidence {
  const set = run.dial + offset + random.normal(0, mill.dialResetScatter)
  const factor = (run.direction === 1 ? 1 : mill.minusFactor) * Math.exp(logFactor)
  const trueFeed = mill.curve(set) * factor * Math.exp(random.normal(0, mill.runScatter))
  const feedMmPerMin = Math.max(1e-3, trueFeed * (1 + random.normal(0, READING)))
  return {
    runId: run.id,
    dial: run.dial,
    direction: run.direction,
    feedMmPerMin,
    standardUncertaintyMmPerMin: READING * feedMmPerMin,
    source: 'readout',
  }
}

function wholeRecheck(
  measured: Measured,
  first: readonly { readonly dial: number; readonly runs: number }[],
  withinPercent: number,
  change: Change,
  random: SeededRandom,
): RecheckedMachine {
  const sign = random.uniform() < 0.5 ? -1 : 1
  const movedMark = pick(random, first).dial
  const amount = 'tolerances' in change ? sign * change.tolerances * (withinPercent / 100) : 0
  const logFactorAt = (dial: number) =>
    change.kind === 'scale' || (change.kind === 'one mark' && dial === movedMark) ? Math.log1p(amount) : 0
  const offset = change.kind === 'offset' ? sign * change.dial : 0
  const runs: RunEvidence[] = []
  let asked = first
  for (let look = 1; ; look++) {
    for (const { dial, runs: count } of asked) {
      for (const { direction } of measured.tables) {
        for (let k = 0; k < count; k++) {
          const id = `now/${runs.length}`
          runs.push(runOf(measured.mill, random, { dial, direction, id }, logFactorAt(dial), offset))
        }
      }
    }
    const { tables } = measured
    const evidence = { tables, earlier: [measured.runs], runs, options: { stepped: false } }
    const { verdict, next, cause, scale } = recheck(evidence, { withinPercent, look })
    if (verdict === 'undecided' && next !== null && next.worthwhile) {
      asked = next.runs
      continue
    }
    const trueScale = change.kind === 'scale' ? 100 * amount : change.kind === 'nothing' ? 0 : null
    const [low, high] = scale.interval95
    return {
      verdict,
      looks: look,
      runs: runs.length,
      withinPercent,
      cause: cause?.cause ?? null,
      scaleHeld: trueScale === null ? null : low <= trueScale && trueScale <= high,
    }
  }
}
