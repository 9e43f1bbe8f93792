import { carryOver, planRecheck, recheck, shapeKept } from '../../../src/planning/recheck/index.js'
import { type LackingRuns, onceThrough } from '../../../src/planning/session/sweep-plan.js'
import type { RunEvidence } from '../../../src/regression/index.js'
import type { SeededRandom } from '../../../src/simulation/index.js'
import type { DayEffect } from './day-machines.js'
import { pick } from './drawn-mill.js'
import {
  DAY_1,
  dayEffect,
  type Measured,
  measuredMachine,
  type RecheckCampaign,
  runOf,
  TABLE_DAY,
  tablesOnDays,
} from './measured-machines.js'

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

const TOLERANCES_PERCENT = [2, 3, 4, 5]
/** Middle of the dial of these machines, 1 to 10. */
export const MIDDLE_DIAL = 5.5
/** A tolerance is sensible for a machine when its table alone could show half of it. */
const SENSIBLE_SHARE = 0.5

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

/** A change as it is at work on a machine. */
interface ChangeAtWork {
  /** Logarithm of the factor of the feed at a dial. */
  readonly logFactorAt: (dial: number) => number
  /** By how much the knob has turned on its shaft, dial units. */
  readonly offset: number
  /** The factor of all feeds, percent; null where there is none. */
  readonly scalePercent: number | null
}

function changeAtWork(
  change: Change,
  first: readonly LackingRuns[],
  withinPercent: number,
  random: SeededRandom,
): ChangeAtWork {
  const sign = random.uniform() < 0.5 ? -1 : 1
  const movedMark = pick(random, first).dial
  const percent = 'tolerances' in change ? sign * change.tolerances * withinPercent : 0
  return {
    logFactorAt: (dial) =>
      change.kind === 'scale' ||
      (change.kind === 'one mark' && dial === movedMark) ||
      (change.kind === 'lower half' && dial < MIDDLE_DIAL)
        ? Math.log1p(percent / 100)
        : 0,
    offset: change.kind === 'offset' ? sign * change.dial : 0,
    scalePercent: change.kind === 'scale' ? percent : change.kind === 'nothing' ? 0 : null,
  }
}

/** Rechecks a machine as its user does: makes the runs that are asked for, until it is decided or not worth more. */
function wholeRecheck(
  measured: Measured,
  { runs: first, showsTwice }: NonNullable<ReturnType<typeof planRecheck>>,
  withinPercent: number,
  change: Change,
  random: SeededRandom,
): RecheckedMachine {
  const { mill, campaign, tables } = measured
  const atWork = changeAtWork(change, first, withinPercent, random)
  const ofOneDay = campaign.dayRelative === undefined
  const nextDay = () => (ofOneDay ? measured.tableDay : dayEffect(mill, random, campaign))
  let effect = nextDay()
  let day = 1
  let asked = first
  let moved = false
  const runs: RunEvidence[] = []
  const looks: string[][] = []
  for (;;) {
    const session = ofOneDay ? TABLE_DAY : `day ${day}`
    const look = { number: looks.length + 1, asked, effect, session, made: runs.length }
    runs.push(...runsOfLook(measured, atWork, look, random))
    const outcome = recheck(
      {
        ...{ tables: tablesOnDays(measured, runs, session), earlier: [measured.runs], runs },
        ...{ options: { stepped: false }, earlierLooks: looks.slice() },
      },
      { withinPercent },
    )
    looks.push(runs.map((run) => run.runId))
    const { verdict, next, tellsApart, cause, scale, changed, range } = outcome
    if (verdict === 'moved' && tellsApart !== null && !moved) {
      moved = true
      asked = [tellsApart]
      continue
    }
    const isWorthwhile = next !== null && next.runs.length > 0 && (next.worthwhile || campaign.stubborn)
    if (!moved && isWorthwhile) {
      asked = next.runs
      if (next.onAnotherDay) {
        effect = nextDay()
        day += 1
      }
      continue
    }
    const [low, high] = scale.interval95
    const { scalePercent } = atWork
    return {
      // Once told that it moved, a user goes on for the cause alone.
      verdict: moved ? 'moved' : verdict,
      ...{ changed, range, showsTwice, withinPercent },
      ...{ looks: looks.length, days: day, runs: runs.length },
      planned: first.reduce((sum, one) => sum + one.runs, 0) * tables.length,
      cause: cause?.cause ?? null,
      scaleHeld: scalePercent === null ? null : low <= scalePercent && scalePercent <= high,
      carried: carriedMarks(measured, shapeKept(cause), atWork),
    }
  }
}

/** One look: what is asked for, on which day, and how many runs were made before it. */
interface Look {
  readonly number: number
  readonly asked: readonly LackingRuns[]
  readonly effect: DayEffect
  readonly session: string
  readonly made: number
}

function runsOfLook(
  { mill, campaign, tables }: Measured,
  { logFactorAt, offset }: ChangeAtWork,
  { number, asked, effect, session, made }: Look,
  random: SeededRandom,
): RunEvidence[] {
  const { travelShare = 0, readingRelative } = campaign
  const alone = { ...mill, runScatter: mill.runScatter * Math.sqrt(1 - travelShare) }
  const runs: RunEvidence[] = []
  for (const { direction } of tables) {
    for (const [k, dials] of travelsFor(asked, direction, campaign).entries()) {
      const travelFactor = random.normal(0, mill.runScatter * Math.sqrt(travelShare))
      const travel = dials.length > 1 ? { travel: `${number}/${direction}/${k}` } : {}
      for (const dial of dials) {
        const id = `now/${made + runs.length}`
        const logFactor = logFactorAt(dial) + travelFactor
        const run = { dial, direction, id, readingRelative, logFactor, day: effect, offset, session }
        runs.push({ ...runOf(alone, random, run), ...travel })
      }
    }
  }
  return runs
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
  { logFactorAt, offset }: ChangeAtWork,
): RecheckedMachine['carried'] {
  let [marks, held] = [0, 0]
  for (const table of change === null ? [] : tables) {
    const carried = carryOver(table, change!, { low: mill.dialMin, high: mill.dialMax })
    for (const { dial, interval95 } of carried?.marks ?? []) {
      const factor = (table.direction === 1 ? 1 : mill.minusFactor) * Math.exp(logFactorAt(dial))
      const truth = mill.curve(dial + offset) * factor
      marks += 1
      if (interval95 !== null && interval95[0] <= truth && truth <= interval95[1]) held += 1
    }
  }
  return { marks, held }
}
