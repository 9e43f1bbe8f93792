import { carryOver, planRecheck, recheck, shapeKept } from '../../../src/planning/recheck/index.js'
import { type LackingRuns, onceThrough } from '../../../src/planning/session/sweep-plan.js'
import type { RunEvidence } from '../../../src/regression/index.js'
import type { SeededRandom } from '../../../src/simulation/index.js'
import { pick } from './drawn-mill.js'
import {
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

/** Tolerances that a recheck is tried under, percent, and the first of the days on which it is made. */
const TOLERANCES_PERCENT = [2, 3, 4, 5]
const DAY_1 = 'day 1'
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
