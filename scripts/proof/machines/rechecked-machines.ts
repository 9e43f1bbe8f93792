import { daysBetween, placeShifts, sessionShifts } from '../../../src/planning/days/index.js'
import { fastestOf, groupRuns } from '../../../src/planning/recheck/group-runs.js'
import {
  type CheckedTable,
  carryOver,
  planRecheck,
  recheck,
  shapeKept,
} from '../../../src/planning/recheck/index.js'
import { type LackingRuns, onceThrough } from '../../../src/planning/session/sweep-plan.js'
import {
  type FeedTable,
  fitAxis,
  fitMark,
  noisePosterior,
  type RunEvidence,
} from '../../../src/regression/index.js'
import { type SeededRandom, type SimulatedMill, seededRandom } from '../../../src/simulation/index.js'
import { CONTINUOUS_FAMILIES } from './dial-families.js'
import { drawnMill, pick } from './drawn-mill.js'

/** What happened to the machine between its table and the recheck. */
export type Change =
  | { readonly kind: 'nothing' }
  /** The feed of all settings, as a share of the tolerance. */
  | { readonly kind: 'scale'; readonly tolerances: number }
  /** The feed at one rechecked mark alone: the hardest place for a false `holds`. */
  | { readonly kind: 'one mark'; readonly tolerances: number }
  /** The feed of the lower half of the dial, as a share of the tolerance: what a recheck that looks at the top misses. */
  | { readonly kind: 'lower half'; readonly tolerances: number }
  /** The knob on its shaft, dial units. */
  | { readonly kind: 'offset'; readonly dial: number }

/** How a whole recheck went: until it decided, or had nothing left to ask for. */
export interface RecheckedMachine {
  readonly verdict: 'holds' | 'moved' | 'undecided'
  /** A change was shown, whatever its size. */
  readonly changed: boolean
  /** Lowest and highest setting of the dial that the verdict is for. */
  readonly range: { readonly from: number; readonly to: number } | null
  readonly looks: number
  /** Days of the new runs. */
  readonly days: number
  /** Runs of the first plan. */
  readonly planned: number
  /** How probably the plan says beforehand that a move of twice the tolerance is shown. */
  readonly showsTwice: () => number
  readonly runs: number
  readonly withinPercent: number
  /** The cause named, where it moved. */
  readonly cause: 'scale' | 'offset' | 'shape' | null
  /** Whether the 95 % interval of the factor at the last look held the true one; null where no factor was at work. */
  readonly scaleHeld: boolean | null
  /** Marks of the table carried over by the change found, and those whose 95 % interval held the true feed. */
  readonly carried: { readonly marks: number; readonly held: number }
}

/** How a machine is measured. */
export interface RecheckCampaign {
  /** Fit the dial curve too, which takes most of the time; without it the offset is taken straight. */
  readonly curve: boolean
  readonly directions: 1 | 2
  /** Relative standard uncertainty of one run's own feed. */
  readonly readingRelative: number
  /** Tolerance, percent; without it the finest sensible one of some. */
  readonly withinPercent?: number
  /**
   * Standard deviation of the effect of a day on all feeds, its voltage and its warmth: the table was measured on one day,
   * the new runs are made on others, each look on the day that the program asks for. Left out: all on the same day.
   */
  readonly dayRelative?: number
  /** Days between the table and the change, with one check run each. */
  readonly earlierDays?: number
  /** Dial families that machines are drawn from; left out: the continuous ones. */
  readonly families?: readonly string[]
  /**
   * The runs of each look are made in travels with the knob turned on the way, so that this share of the variance from run to
   * run is the same for all runs of a travel. Left out: each run is a travel by itself.
   */
  readonly travelShare?: number
  /** Make all runs asked for, also where the program says that they are not worth their while. */
  readonly stubborn?: boolean
}

/** Relative standard uncertainty of a run's own feed: from a readout, the upper end of what full runs show; by stopwatch over 30 s. */
export const READING = { readout: 5e-5, stopwatch: (Math.SQRT2 * 0.07) / 30 }
const TOLERANCES_PERCENT = [2, 3, 4, 5]
/** Middle of the dial of these machines, 1 to 10. */
export const MIDDLE_DIAL = 5.5
/** A tolerance is sensible for a machine when its table alone could show half of it. */
const SENSIBLE_SHARE = 0.5

/** A machine that was drawn and measured before anything changed on it. */
interface Measured {
  readonly mill: SimulatedMill
  readonly tables: readonly CheckedTable[]
  readonly runs: readonly RunEvidence[]
  /** Check runs of days before the change, and the table's own day effect. */
  readonly checks: readonly RunEvidence[]
  readonly tableDay: number
  readonly campaign: RecheckCampaign
}

/** Draws a machine, measures its table, and rechecks it under a sensible tolerance; null where none of 2 to 5 % is. */
export function recheckedMachine(
  seed: number,
  change: Change,
  campaign: RecheckCampaign,
): RecheckedMachine | null {
  const measured = measuredMachine(seed, campaign)
  for (const withinPercent of campaign.withinPercent === undefined
    ? TOLERANCES_PERCENT
    : [campaign.withinPercent]) {
    // What days may differ by is no fault of the table: whether a tolerance is sensible is told without them.
    const sensible = planRecheck(measured.tables, [measured.runs], withinPercent, { stepped: false })
    if (sensible === null || sensible.finest.withinPercent > SENSIBLE_SHARE * withinPercent) continue
    const tables = tablesOnDays(measured, [], DAY_1)
    const plan = planRecheck(tables, [measured.runs], withinPercent, { stepped: false })!
    return wholeRecheck(measured, plan, withinPercent, change, measured.random)
  }
  return null
}

/** Draws a machine and measures its table. */
export function measuredMachine(
  seed: number,
  campaign: RecheckCampaign,
): Measured & { readonly random: SeededRandom } {
  const random = seededRandom(seed)
  const mill = drawnMill(pick(random, campaign.families ?? CONTINUOUS_FAMILIES), seed)
  return { ...measureTable(mill, random, campaign), random }
}

function measureTable(mill: SimulatedMill, random: SeededRandom, campaign: RecheckCampaign): Measured {
  const count = 5 + Math.floor(6 * random.uniform())
  const repeats = 2 + Math.floor(2 * random.uniform())
  const dials = Array.from({ length: count }, (_, i) => 1 + (9 * i) / (count - 1))
  const directions = ([1, -1] as const).slice(0, campaign.directions)
  const dayEffect = () => random.normal(0, campaign.dayRelative ?? 0)
  const tableDay = dayEffect()
  const runs = directions.flatMap((direction) =>
    dials.flatMap((dial) =>
      Array.from({ length: repeats }, (_, k) =>
        runOf(mill, random, {
          dial,
          direction,
          id: `then/${direction}/${dial}/${k}`,
          readingRelative: campaign.readingRelative,
          logFactor: tableDay,
          session: TABLE_DAY,
        }),
      ),
    ),
  )
  const checks = Array.from({ length: campaign.earlierDays ?? 0 }, (_, k) =>
    runOf(mill, random, {
      ...{ dial: pick(random, dials), direction: 1, readingRelative: campaign.readingRelative },
      ...{ id: `check/${k}`, session: `check ${k}`, logFactor: dayEffect() },
    }),
  )
  const fitted = campaign.curve ? fitAxis(runs, { stepped: false }) : null
  const tables = directions.map((direction): CheckedTable => {
    const own = runs.filter((run) => run.direction === direction)
    const side = fitted?.directions.find((one) => one.direction === direction)
    const common = {
      direction,
      runs: own,
      commonAt: () => new Map<string, number>(),
    }
    return side === undefined
      ? { ...common, marks: marksAlone(runs, direction), curve: [] }
      : { ...common, marks: side.marks, curve: side.curve }
  })
  return { mill, tables, runs, checks, tableDay, campaign }
}

const TABLE_DAY = 'table'
const DAY_1 = 'day 1'

/** The tables with what is known of their days once some new runs are made, as the program has it. */
function tablesOnDays(
  { tables, runs, checks, campaign }: Measured,
  fresh: readonly RunEvidence[],
  present: string,
): readonly CheckedTable[] {
  if (campaign.dayRelative === undefined) return tables
  const places = placeShifts(
    tables.map((table) => ({ ...NO_TABLE, ...table })),
    [...runs, ...checks, ...fresh],
    new Set(runs.map((run) => run.runId)),
  )
  const shifts = sessionShifts(places)
  const sessions = [...new Set(fresh.map((run) => run.session!))]
  const days = daysBetween({
    ...{ shares: new Map([[TABLE_DAY, 1]]), shifts, present },
    fresh: sessions.length > 0 ? sessions : [present],
  })
  return tables.map((table) => ({ ...table, days }))
}

/** What a stored table has besides its marks; nothing of it is looked at. */
const NO_TABLE: Omit<FeedTable, 'direction' | 'marks' | 'curve'> = {
  ...{ machine: 'drawn', axis: 'X', version: 1, fittedAt: '2026-01-01T00:00:00.000Z', unit: 'mm' },
  ...{ stepped: false, runIds: [], method: { name: 'marks alone', version: '1' }, hash: '' },
}

/** The marks as a fit makes them, without the curve, which takes most of its time. */
function marksAlone(runs: readonly RunEvidence[], direction: 1 | -1): CheckedTable['marks'] {
  const groups = groupRuns(runs, fastestOf(runs))
  const posterior = noisePosterior(groups, { dialRepeats: false })!
  return groups.filter((group) => group.direction === direction).map((group) => fitMark(group, posterior))
}

/** One setting of the dial and one run. */
export function runOf(
  mill: SimulatedMill,
  random: SeededRandom,
  run: {
    readonly dial: number
    readonly direction: 1 | -1
    readonly id: string
    readonly readingRelative: number
    readonly logFactor?: number
    readonly offset?: number
    readonly session?: string
  },
): RunEvidence {
  const { logFactor = 0, offset = 0, readingRelative } = run
  const set = run.dial + offset + random.normal(0, mill.dialResetScatter)
  const factor = (run.direction === 1 ? 1 : mill.minusFactor) * Math.exp(logFactor)
  const trueFeed = mill.curve(set) * factor * Math.exp(random.normal(0, mill.runScatter))
  const feedMmPerMin = Math.max(1e-3, trueFeed * (1 + random.normal(0, readingRelative)))
  return {
    runId: run.id,
    dial: run.dial,
    direction: run.direction,
    feedMmPerMin,
    standardUncertaintyMmPerMin: readingRelative * feedMmPerMin,
    source: 'readout',
    ...(run.session === undefined ? {} : { session: run.session }),
  }
}

function wholeRecheck(
  measured: Measured,
  plan: NonNullable<ReturnType<typeof planRecheck>>,
  withinPercent: number,
  change: Change,
  random: SeededRandom,
): RecheckedMachine {
  const { runs: first, showsTwice } = plan
  const sign = random.uniform() < 0.5 ? -1 : 1
  const movedMark = pick(random, first).dial
  const amount = 'tolerances' in change ? sign * change.tolerances * (withinPercent / 100) : 0
  const logFactorAt = (dial: number) =>
    change.kind === 'scale' ||
    (change.kind === 'one mark' && dial === movedMark) ||
    (change.kind === 'lower half' && dial < MIDDLE_DIAL)
      ? Math.log1p(amount)
      : 0
  const days = measured.campaign.dayRelative
  // On the day of the table, or on days with effects of their own.
  const dayEffect = () => (days === undefined ? measured.tableDay : random.normal(0, days))
  let dayFactor = dayEffect()
  let day = 1
  const offset = change.kind === 'offset' ? sign * change.dial : 0
  const runs: RunEvidence[] = []
  let asked = first
  let moved = false
  const { mill, campaign } = measured
  const looks: string[][] = []
  for (let look = 1; ; look++) {
    const session = days === undefined ? TABLE_DAY : `day ${day}`
    for (const { direction } of measured.tables) {
      for (const [k, dials] of travelsFor(asked, direction, campaign).entries()) {
        const { travelShare = 0, readingRelative } = campaign
        const alone = { ...mill, runScatter: mill.runScatter * Math.sqrt(1 - travelShare) }
        const travelFactor = random.normal(0, mill.runScatter * Math.sqrt(travelShare))
        for (const dial of dials) {
          const id = `now/${runs.length}`
          const logFactor = logFactorAt(dial) + dayFactor + travelFactor
          const run = { dial, direction, id, readingRelative, logFactor, offset, session }
          const travel = dials.length > 1 ? { travel: `${look}/${direction}/${k}` } : {}
          runs.push({ ...runOf(alone, random, run), ...travel })
        }
      }
    }
    const tables = tablesOnDays(measured, runs, session)
    const evidence = {
      ...{ tables, earlier: [measured.runs], runs, options: { stepped: false } },
      earlierLooks: looks.slice(),
    }
    const outcome = recheck(evidence, { withinPercent })
    looks.push(runs.map((run) => run.runId))
    const { verdict: told, next, tellsApart, cause, scale, changed, range } = outcome
    // Once told that it moved, a user goes on for the cause alone.
    const verdict = moved ? 'moved' : told
    if (told === 'moved' && tellsApart !== null && !moved) {
      moved = true
      asked = [tellsApart]
      continue
    }
    const { stubborn = false } = measured.campaign
    if (!moved && next !== null && next.runs.length > 0 && (next.worthwhile || stubborn)) {
      asked = next.runs
      if (next.onAnotherDay) {
        dayFactor = dayEffect()
        day += 1
      }
      continue
    }
    const trueScale = change.kind === 'scale' ? 100 * amount : change.kind === 'nothing' ? 0 : null
    const [low, high] = scale.interval95
    return {
      verdict,
      changed,
      range,
      looks: look,
      days: day,
      showsTwice,
      planned: first.reduce((sum, one) => sum + one.runs, 0) * measured.tables.length,
      runs: runs.length,
      withinPercent,
      cause: cause?.cause ?? null,
      scaleHeld: trueScale === null ? null : low <= trueScale && trueScale <= high,
      carried: carriedMarks(measured, shapeKept(cause), (dial, direction) => {
        const feed = measured.mill.curve(dial + offset) * (direction === 1 ? 1 : measured.mill.minusFactor)
        return feed * Math.exp(logFactorAt(dial))
      }),
    }
  }
}

/** The settings of each travel that makes the runs asked for: many in one travel as the program orders them, or one each. */
function travelsFor(
  asked: readonly LackingRuns[],
  direction: 1 | -1,
  { travelShare }: RecheckCampaign,
): readonly (readonly number[])[] {
  if (travelShare === undefined)
    return asked.flatMap(({ dial, runs }) => Array.from({ length: runs }, () => [dial]))
  const travels: number[][] = []
  for (let left = asked; left.length > 0; ) {
    const dials = onceThrough(left, direction)
    travels.push(dials)
    left = left.flatMap(({ dial, runs }) => {
      const rest = runs - dials.filter((one) => one === dial).length
      return rest > 0 ? { dial, runs: rest } : []
    })
  }
  return travels
}

/** How many marks of the tables carried over hold the true feed. */
function carriedMarks(
  { tables, mill }: Measured,
  change: ReturnType<typeof shapeKept>,
  trueFeed: (dial: number, direction: 1 | -1) => number,
): RecheckedMachine['carried'] {
  let [marks, held] = [0, 0]
  for (const table of change === null ? [] : tables) {
    const carried = carryOver(table, change!, { low: mill.dialMin, high: mill.dialMax })
    for (const { dial, interval95 } of carried?.marks ?? []) {
      const truth = trueFeed(dial, table.direction)
      marks += 1
      if (interval95 !== null && interval95[0] <= truth && truth <= interval95[1]) held += 1
    }
  }
  return { marks, held }
}
