import { nextOnAnyDay, onAnyDay, onThatDay, sessionShifts } from '../../../src/planning/days/index.js'
import { axisScatter, type FeedTable, fitMark, type RunEvidence } from '../../../src/regression/index.js'
import { type DayKnowledge, learnDays } from '../../../src/regression/scatter/day-effect.js'
import { type SeededRandom, type SimulatedMill, seededRandom } from '../../../src/simulation/index.js'
import { addRatio, type Findings } from '../tally.js'
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

/** By what the findings of such tables are told apart: those of a single run a mark rest on an assumed scatter. */
export function dayDimension(runs: number): string {
  return runs === 1 ? 'day effect, one run a mark' : 'day effect'
}

/** A machine measured in one session, checked by one run in another, and set again on any day. */
export interface DayPlan {
  readonly marks: number
  readonly runs: number
  readonly size: keyof typeof DAY_SIZES
  /** Sessions of one check run each before the one that is looked at. */
  readonly earlierChecks: number
}

/**
 * Whether a table tells where its feeds lie: on its own day, on any other day, and on one that one check run was made on.
 * Marks alone are looked at, for a day moves all feeds of a curve alike.
 */
export function dayMachine(findings: Findings, family: string, plan: DayPlan, seed: number): void {
  const random = seededRandom(seed)
  const mill = drawnMill(family, seed)
  const size = DAY_SIZES[plan.size]!
  const day = () => size * random.normal(0, 1)
  const own = day()
  const dials = Array.from({ length: plan.marks }, (_, k) => 1 + (9 * k) / (plan.marks - 1))
  const runs = dials.flatMap((dial) =>
    Array.from({ length: plan.runs }, (_, k) => oneRun(mill, random, dial, own, `${dial}/${k}`, 'table')),
  )
  const table = tableOf(runs)
  const ownRuns = new Set(runs.map((run) => run.runId))
  const checkAt = (session: string, effect: number) =>
    oneRun(mill, random, dials[Math.floor(random.uniform() * dials.length)]!, effect, session, session)
  const earlier = Array.from({ length: plan.earlierChecks }, (_, k) => checkAt(`check ${k}`, day()))
  const learned = (checks: readonly RunEvidence[]) =>
    learnDays(sessionShifts([table], [...runs, ...checks], ownRuns), new Map([['table', 1]]))
  const unknown = learned(earlier)
  const anyDay = onAnyDay(table, unknown)
  const today = day()
  const known = learned([...earlier, checkAt('today', today)])
  const levels = { [dayDimension(plan.runs)]: plan.size }
  const look = (name: string, answers: FeedTable, effect: number) =>
    hold(findings, `${name}, next setting`, levels, answers, (dial) => feedOf(mill, random, dial, effect))
  const means = (name: string, answers: FeedTable, effect: number) =>
    holdMean(findings, `${name}, mean`, levels, answers, (dial) => mill.curve(dial) * Math.exp(effect))
  means('own day', table, own)
  look('own day', table, own)
  means('any day', anyDay, 0)
  look('any day', anyDay, day())
  const checked = onThatDay(table, known.of('today'))
  means('today after one check run', checked, today)
  look('today after one check run', checked, today)
  widths(findings, levels, table, unknown, checked)
}

function hold(
  findings: Findings,
  figure: string,
  levels: Readonly<Record<string, string>>,
  table: FeedTable,
  feed: (dial: number) => number,
): void {
  const held = table.marks.filter(({ dial, nextSetting95: next }) => {
    const found = feed(dial)
    return found >= next![0] && found <= next![1]
  })
  addRatio(findings, figure, levels, held.length, table.marks.length)
}

function holdMean(
  findings: Findings,
  figure: string,
  levels: Readonly<Record<string, string>>,
  table: FeedTable,
  feed: (dial: number) => number,
): void {
  const held = table.marks.filter(
    ({ dial, interval95 }) => feed(dial) >= interval95![0] && feed(dial) <= interval95![1],
  )
  addRatio(findings, figure, levels, held.length, table.marks.length)
}

/** Half widths of next settings in units of those on the table's own day. */
function widths(
  findings: Findings,
  levels: Readonly<Record<string, string>>,
  table: FeedTable,
  unknown: DayKnowledge,
  checked: FeedTable,
): void {
  const told = nextOnAnyDay(table, unknown)
  const half = (of: FeedTable, i: number) => {
    const [low, high] = of.marks[i]!.nextSetting95!
    return Math.log(high / low) / 2
  }
  const mean = (of: FeedTable) => of.marks.reduce((sum, _, i) => sum + half(of, i), 0) / of.marks.length
  addRatio(findings, 'any day, half width over own day', levels, mean(told), mean(table))
  addRatio(findings, 'today after one check run, half width over own day', levels, mean(checked), mean(table))
  addRatio(findings, 'own day, half width', levels, mean(table), 1)
}

/** What one setting and one run feed on a day. */
export function feedOf(mill: SimulatedMill, random: SeededRandom, dial: number, effect: number): number {
  const set = dial + mill.dialResetScatter * random.normal(0, 1)
  return Math.max(1e-9, mill.curve(set) * Math.exp(effect + mill.runScatter * random.normal(0, 1)))
}

function oneRun(
  mill: SimulatedMill,
  random: SeededRandom,
  dial: number,
  effect: number,
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
