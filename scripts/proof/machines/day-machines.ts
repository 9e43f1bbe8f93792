import {
  lostFeedPrior,
  moreUneven,
  nextOnAnyDay,
  onAnyDay,
  onThatDay,
  placeShifts,
  settingShifts,
} from '../../../src/planning/days/index.js'
import { axisScatter, type FeedTable, fitMark, type RunEvidence } from '../../../src/regression/index.js'
import { type DayKnowledge, learnDays } from '../../../src/regression/scatter/day-effect.js'
import { type SeededRandom, type SimulatedMill, seededRandom } from '../../../src/simulation/index.js'
import { addRatio, type Findings } from '../tally.js'
import { DIAL_MAX } from './dial-families.js'
import { drawnMill } from './drawn-mill.js'

/** Standard deviations of the effect that a day has on all feeds; none of them is told to the program. */
export const DAY_SIZES: Readonly<Record<string, number>> = {
  none: 0,
  '0.5 %': 0.005,
  '0.7 %': 0.007,
  '1 %': 0.01,
  '2 %': 0.02,
  // The measured motors of fixtures/open-data.
  '4.5 %': 0.045,
}

/** Standard uncertainty of one run's own feed, relative: a readout's. */
export const READING = 0.00005

/**
 * Standard deviations of what a day loses or gains of all feeds alike, share of the fastest; the largest is that of the left
 * motor of fixtures/open-data.
 */
export const LOST_SIZES: Readonly<Record<string, number>> = {
  none: 0,
  '0.2 %': 0.002,
  '0.5 %': 0.005,
  '1.6 %': 0.016,
}

/** The common factor that days have which lose such a feed. */
export const SIZE_BESIDE_LOST = '0.7 %'

/** Standard deviations of what a day moves each setting by itself; none of them is told to the program. */
export const UNEVEN_SIZES: Readonly<Record<string, number>> = {
  none: 0,
  '1 %': 0.01,
  '3 %': 0.03,
  '5 %': 0.05,
}

/** The common factor that days have which move each setting by itself, and their check runs each. */
export const BESIDE_UNEVEN = { size: '0.7 %', checksADay: 4 } as const

/** By what the findings of machines whose days move each setting by itself are told apart. */
export const UNEVEN_DIMENSION = 'what a day moves each setting by'

/** By what the findings of machines whose days lose a feed are told apart. */
export const LOST_DIMENSION = 'feed lost by a day'

/** By what the findings of such tables are told apart: those of a single run a mark rest on an assumed scatter. */
export function dayDimension(runs: number): string {
  return runs === 1 ? 'day effect, one run a mark' : 'day effect'
}

/** What a day does to a machine. */
export interface DayEffect {
  /** Logarithm of the factor that all feeds have in common. */
  readonly factor: number
  /** Feed that is gained or lost alike at all settings, mm/min. */
  readonly gainedMmPerMin: number
  /** Logarithm of what each setting is moved by beside that, by its dial; left out: nothing. */
  readonly bySetting?: ReadonlyMap<number, number>
}

/** A day that moves all feeds by one factor. @param factor its logarithm */
export function factorAlone(factor: number): DayEffect {
  return { factor, gainedMmPerMin: 0 }
}

/** A machine measured in one session, checked by one run in another, and set again on any day. */
export interface DayPlan {
  readonly marks: number
  readonly runs: number
  readonly size: keyof typeof DAY_SIZES
  /** What a day loses besides; left out: nothing, and the findings are told by the size of the common factor. */
  readonly lost?: keyof typeof LOST_SIZES
  /** What a day moves each setting by itself; left out: nothing, and the findings are told by the others. */
  readonly uneven?: keyof typeof UNEVEN_SIZES
  /** Sessions with check runs before the one that is looked at. */
  readonly earlierChecks: number
  /** Check runs in each of these, at different marks as far as there are; left out: one. */
  readonly checksADay?: number
}

/**
 * Whether a table tells where its feeds lie: on its own day, on any other day, and on one that one check run was made on at
 * any mark, or two at the middle and the slowest. Marks alone are looked at, for what a day does goes evenly along a curve.
 */
export function dayMachine(findings: Findings, family: string, plan: DayPlan, seed: number): void {
  const random = seededRandom(seed)
  const mill = drawnMill(family, seed)
  const size = DAY_SIZES[plan.size]!
  const lost = LOST_SIZES[plan.lost ?? 'none']! * mill.curve(DIAL_MAX)
  const uneven = UNEVEN_SIZES[plan.uneven ?? 'none']!
  const dials = Array.from({ length: plan.marks }, (_, k) => 1 + (9 * k) / (plan.marks - 1))
  const day = (): DayEffect => ({
    factor: size * random.normal(0, 1),
    gainedMmPerMin: lost === 0 ? 0 : lost * random.normal(0, 1),
    bySetting: new Map(uneven === 0 ? [] : dials.map((dial) => [dial, uneven * random.normal(0, 1)])),
  })
  const own = day()
  const runs = dials.flatMap((dial) =>
    Array.from({ length: plan.runs }, (_, k) => oneRun(mill, random, dial, own, `${dial}/${k}`, 'table')),
  )
  const table = tableOf(runs)
  const ownRuns = new Set(runs.map((run) => run.runId))
  const anyMark = () => Math.floor(random.uniform() * dials.length)
  const checkAt = (session: string, effect: DayEffect, at = anyMark()) =>
    oneRun(mill, random, dials[at]!, effect, `${session}/${at}`, session)
  const earlier = Array.from({ length: plan.earlierChecks }, (_, k) => {
    const [effect, first] = [day(), anyMark()]
    return Array.from({ length: Math.min(plan.checksADay ?? 1, dials.length) }, (_, n) =>
      checkAt(`check ${k}`, effect, (first + n) % dials.length),
    )
  }).flat()
  const shares = new Map([['table', 1]])
  const learned = (checks: readonly RunEvidence[]) => {
    const { sessions, placeVariance } = settingShifts(
      placeShifts([table], [...runs, ...checks], ownRuns),
      shares,
    )
    const shifts = sessions.flatMap((session) => session.shifts)
    const days = learnDays(shifts, shares, lostFeedPrior(), placeVariance)
    const ofToday = sessions.find(({ session }) => session === 'today')?.placeVariance ?? 0
    return { days, today: moreUneven(days.of('today'), ofToday) }
  }
  const unknown = learned(earlier).days
  const anyDay = onAnyDay(table, unknown)
  const today = day()
  const known = learned([...earlier, checkAt('today', today)])
  const levels = {
    ...(plan.lost === undefined ? {} : { [LOST_DIMENSION]: plan.lost }),
    ...(plan.uneven === undefined ? {} : { [UNEVEN_DIMENSION]: plan.uneven }),
    ...((plan.lost ?? plan.uneven) ? {} : { [dayDimension(plan.runs)]: plan.size }),
  }
  const look = (name: string, answers: FeedTable, effect: DayEffect) =>
    hold(findings, `${name}, next setting`, levels, answers, [
      'nextSetting95',
      (dial) => feedOf(mill, random, dial, effect),
    ])
  const means = (name: string, answers: FeedTable, effect: DayEffect) =>
    hold(findings, `${name}, mean`, levels, answers, [
      'interval95',
      (dial) => onDay(mill.curve(dial), effect, dial),
    ])
  means('own day', table, own)
  look('own day', table, own)
  means('any day', anyDay, factorAlone(0))
  look('any day', anyDay, day())
  const checked = onThatDay(table, known.today)
  means('today after one check run', checked, today)
  look('today after one check run', checked, today)
  widths(findings, levels, table, unknown, checked)
  const both = [checkAt('today', today, Math.floor(dials.length / 2)), checkAt('today', today, 0)]
  const twice = onThatDay(table, learned([...earlier, ...both]).today)
  means('today after two check runs', twice, today)
  look('today after two check runs', twice, today)
}

/** A feed on a day. @param dial where days move each setting by itself */
export function onDay(
  feedMmPerMin: number,
  { factor, gainedMmPerMin, bySetting }: DayEffect,
  dial?: number,
): number {
  const alone = dial === undefined ? 0 : (bySetting?.get(dial) ?? 0)
  return Math.max(1e-9, feedMmPerMin * Math.exp(factor + alone) + gainedMmPerMin)
}

/** How many of a table's intervals hold what `feed` says of their dials. */
function hold(
  findings: Findings,
  figure: string,
  levels: Readonly<Record<string, string>>,
  { marks }: FeedTable,
  [interval, feed]: readonly [interval: 'interval95' | 'nextSetting95', feed: (dial: number) => number],
): void {
  const held = marks.filter(({ dial, [interval]: within }) => {
    const found = feed(dial)
    return found >= within![0] && found <= within![1]
  })
  addRatio(findings, figure, levels, held.length, marks.length)
}

/** Marks slower than this share of the fastest are told apart: there it is what a day loses of all feeds that costs width. */
const SLOW = 1 / 3

/** Half widths of next settings in units of those on the table's own day. */
function widths(
  findings: Findings,
  levels: Readonly<Record<string, string>>,
  table: FeedTable,
  unknown: DayKnowledge,
  checked: FeedTable,
): void {
  const told = nextOnAnyDay(table, unknown)
  const fastest = Math.max(...table.marks.map((mark) => mark.feedMmPerMin))
  const half = (of: FeedTable, isSlow: boolean) =>
    of.marks.reduce((sum, { nextSetting95 }, i) => {
      const [low, high] = nextSetting95!
      return table.marks[i]!.feedMmPerMin < SLOW * fastest === isSlow ? sum + Math.log(high / low) / 2 : sum
    }, 0)
  for (const [isSlow, where] of [
    [false, ''],
    [true, ', slow marks'],
  ] as const) {
    const own = half(table, isSlow)
    if (own === 0) continue
    addRatio(findings, `any day, half width over own day${where}`, levels, half(told, isSlow), own)
    addRatio(
      findings,
      `today after one check run, half width over own day${where}`,
      levels,
      half(checked, isSlow),
      own,
    )
  }
  const { length } = table.marks
  addRatio(findings, 'own day, half width', levels, (half(table, false) + half(table, true)) / length, 1)
}

/** What one setting and one run feed on a day. */
export function feedOf(mill: SimulatedMill, random: SeededRandom, dial: number, effect: DayEffect): number {
  const set = dial + mill.dialResetScatter * random.normal(0, 1)
  return onDay(mill.curve(set), effect, dial) * Math.exp(mill.runScatter * random.normal(0, 1))
}

function oneRun(
  mill: SimulatedMill,
  random: SeededRandom,
  dial: number,
  effect: DayEffect,
  runId: string,
  session: string,
): RunEvidence {
  const feedMmPerMin = feedOf(mill, random, dial, effect) * (1 + READING * random.normal(0, 1))
  return {
    runId,
    dial,
    direction: 1,
    feedMmPerMin,
    standardUncertaintyMmPerMin: READING * feedMmPerMin,
    source: 'readout',
    session,
  }
}

/** The marks as a fit makes them, without the curve, which takes most of its time. */
function tableOf(runs: readonly RunEvidence[]): FeedTable {
  const { sides, posterior } = axisScatter(runs, { stepped: false })
  return {
    machine: 'drawn',
    axis: 'X',
    direction: 1,
    version: 1,
    fittedAt: '2026-01-01T00:00:00.000Z',
    unit: 'mm',
    stepped: false,
    marks: sides[0]!.groups.filter((group) => !group.creeps).map((group) => fitMark(group, posterior)),
    curve: [],
    runIds: runs.map((run) => run.runId),
    method: { name: 'marks alone', version: '1' },
    hash: '',
  }
}
