import { DataError } from '../../src/errors/index.js'
import { dialForFeed } from '../../src/planning/index.js'
import {
  axisScatter,
  type FeedTable,
  FIT_METHOD,
  type FittedDirection,
  type FittedMark,
  fitAxis,
  type IntervalMmPerMin,
} from '../../src/regression/index.js'
import { seededRandom } from '../../src/simulation/index.js'
import {
  type Campaign,
  type ConditionName,
  measure,
  type Plan,
  readingScatter,
  STATED_CONDITIONS,
  trueScatter,
} from './campaign.js'
import { FRESH_FAMILIES, UNSEEN_FAMILIES } from './machines/dial-families.js'
import { drawnMill } from './machines/drawn-mill.js'
import { marksWithKnownSpread } from './machines/known-spread.js'
import { addRatio, addValue, type Findings } from './tally.js'

/** Feeds asked for in each direction of each machine. */
const FEEDS_ASKED = 8
/** Below this feed a mark creeps and has no relative scatter, mm/min. */
const CREEP_MM_PER_MIN = 2.5

/** One machine measured and fitted; every interval it prints is held against what is true. */
export function fittedMachine(
  findings: Findings,
  family: string,
  plan: Plan,
  condition: ConditionName,
  seed: number,
): void {
  const random = seededRandom(seed)
  const campaign = measure(drawnMill(family, seed + 1), plan, condition, random)
  const { stepped, minusFactor } = campaign.mill
  const options = { stepped, dialClicks: condition === 'dial clicks' }
  const axis = fitAxis(campaign.runs, options)
  const levels = {
    family,
    condition,
    plan: `${plan.marks} marks × ${plan.runs} runs`,
    'number of marks': `${plan.marks} marks`,
    'family and marks': `${family}, ${plan.marks} marks`,
    origin: FRESH_FAMILIES.includes(family) ? 'families of this proof alone' : 'families of the simulation',
  }
  const unseen = UNSEEN_FAMILIES.includes(family)
  const whole = STATED_CONDITIONS.includes(condition) && !unseen
  const told = whole
    ? levels
    : unseen
      ? { family, 'family and marks': levels['family and marks'] }
      : { condition }
  const tell: Tell = (figure, y, x) => addRatio(findings, figure, told, y, x, whole)

  const { sides } = axisScatter(campaign.runs, options)
  const known = marksWithKnownSpread(sides, stepped || options.dialClicks)
  for (const side of axis.directions) {
    const same = sides.find(({ direction }) => direction === side.direction)!
    judgeMarks(tell, side, known(same), campaign, plan, condition)
  }
  if (axis.difference !== null) {
    tell('direction-coverage', Number(holds(axis.difference.interval95Percent, 100 * (minusFactor - 1))), 1)
  }
  if (stepped) return
  judgeBands(tell, axis.directions, campaign)
  const width = meanBandWidth(axis.directions, campaign, plan, condition)
  if (width !== null) {
    tell('between-width', width, 1)
    tell('between-wide', Number(width > WIDE_BAND), 1)
    addValue(findings, 'between-median', told, width, whole)
  }
  judgeInverse(tell, axis.directions, campaign, () => random.uniform())
}

type Tell = (figure: string, y: number, x: number) => void

function judgeMarks(
  tell: Tell,
  side: FittedDirection,
  knownSpread: readonly FittedMark[],
  campaign: Campaign,
  plan: Plan,
  condition: ConditionName,
): void {
  let [held, heldNext, widths, least, known] = [0, 0, 0, 0, 0]
  for (const [k, { dial, interval95, nextSetting95, feedMmPerMin }] of side.marks.entries()) {
    held += Number(holds(interval95, campaign.trueFeed(dial, side.direction)))
    heldNext += Number(holds(nextSetting95, campaign.nextFeed(dial, side.direction)))
    const sigma = trueScatter(campaign.mill, dial, readingScatter(condition))
    if (interval95 === null || sigma === null || feedMmPerMin < CREEP_MM_PER_MIN) continue
    const half = (1.96 * sigma) / Math.sqrt(plan.runs)
    const [low, high] = knownSpread[k]!.interval95!
    widths += Math.log(interval95[1] / interval95[0]) / 2 / half
    least += Math.log(high / low) / 2 / half
    known += 1
  }
  tell('mark-coverage', held, side.marks.length)
  tell('next-coverage', heldNext, side.marks.length)
  // What σ/√R means where runs share a setting or a drive warms is another question.
  if (!STATED_CONDITIONS.includes(condition)) return
  tell('mark-width', widths, known)
  tell('mark-least-width', least, known)
}

/** A band so many times as wide as that of one who knows the scatter and measured right there is told as wide. */
const WIDE_BAND = 3

/**
 * Mean over the places between marks of the half width over 1.96 σ/√R, σ the true scatter there: as wide as one would be
 * who knows the scatter and made all runs of a mark at that very place. Null where the table stands still throughout.
 */
function meanBandWidth(
  sides: readonly FittedDirection[],
  { dials, mill }: Campaign,
  { runs }: Plan,
  condition: ConditionName,
): number | null {
  const widths = sides.flatMap(({ curve }) =>
    curve.flatMap(({ dial, interval95 }) => {
      if (dials.includes(dial) || interval95 === null || interval95[0] <= 0) return []
      const sigma = trueScatter(mill, dial, readingScatter(condition))
      const [low, high] = interval95
      return sigma === null ? [] : [Math.log(high / low) / 2 / ((1.96 * sigma) / Math.sqrt(runs))]
    }),
  )
  return widths.length === 0 ? null : widths.reduce((sum, width) => sum + width, 0) / widths.length
}

/** Places of the curve between marks; both directions of a machine are one cluster. */
function judgeBands(tell: Tell, sides: readonly FittedDirection[], campaign: Campaign): void {
  let [held, heldNext, places] = [0, 0, 0]
  for (const { direction, curve } of sides) {
    for (const { dial, interval95, nextSetting95 } of curve) {
      if (campaign.dials.includes(dial)) continue
      places += 1
      held += Number(holds(interval95, campaign.trueFeed(dial, direction)))
      heldNext += Number(holds(nextSetting95, campaign.nextFeed(dial, direction)))
    }
  }
  tell('between-coverage', held, places)
  tell('between-next-coverage', heldNext, places)
}

/**
 * Feeds drawn evenly over the true range of the marks, and dials drawn evenly whose true feed is then asked for: does
 * the dial interval hold the dial that truly gives the feed? Feeds the program refuses are left out and counted.
 */
function judgeInverse(
  tell: Tell,
  sides: readonly FittedDirection[],
  campaign: Campaign,
  uniform: () => number,
): void {
  let [held, asked, refused, heldByDial, askedByDial] = [0, 0, 0, 0, 0]
  for (const side of sides) {
    const table = asTable(side)
    const feedAt = (dial: number) => campaign.trueFeed(dial, side.direction)
    const [first, last] = [campaign.dials[0]!, campaign.dials.at(-1)!]
    for (let k = 0; k < FEEDS_ASKED; k++) {
      const feed = feedAt(first) + uniform() * (feedAt(last) - feedAt(first))
      const byFeed = askFor(table, feed, dialOf(feedAt, first, last, feed))
      if (byFeed === null) refused += 1
      else {
        asked += 1
        held += Number(byFeed)
      }
      const dial = first + uniform() * (last - first)
      const byDial = askFor(table, feedAt(dial), dial)
      if (byDial !== null) {
        askedByDial += 1
        heldByDial += Number(byDial)
      }
    }
  }
  tell('inverse-coverage', held, asked)
  tell('inverse-by-dial-coverage', heldByDial, askedByDial)
  tell('inverse-refused', refused, asked + refused)
}

/** Whether the answered interval holds the true dial; null where the program refuses the feed. */
function askFor(table: FeedTable, feedMmPerMin: number, trueDial: number): boolean | null {
  try {
    return holds(dialForFeed(table, feedMmPerMin).dial.interval95, trueDial)
  } catch (error) {
    if (error instanceof DataError && error.code === 'feed-out-of-range') return null
    throw error
  }
}

/** The dial that truly gives a feed, by halving; feeds rise along the dial or fall. */
function dialOf(feedAt: (dial: number) => number, low: number, high: number, feed: number): number {
  let [from, to] = feedAt(low) < feedAt(high) ? [low, high] : [high, low]
  for (let step = 0; step < 50; step++) {
    const middle = (from + to) / 2
    if (feedAt(middle) < feed) from = middle
    else to = middle
  }
  return (from + to) / 2
}

/** A fitted direction as the lookups take it. */
export function asTable(side: FittedDirection, stepped = false): FeedTable {
  return {
    machine: 'simulated',
    axis: 'X',
    direction: side.direction,
    version: 1,
    fittedAt: '2000-01-01T00:00:00Z',
    unit: 'mm',
    stepped,
    marks: side.marks,
    curve: side.curve,
    runIds: side.runIds,
    method: FIT_METHOD,
    hash: '',
  }
}

export function holds(interval: IntervalMmPerMin | null, value: number): boolean {
  return interval !== null && value >= interval[0] && value <= interval[1]
}
