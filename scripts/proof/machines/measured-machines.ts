import { daysBetween, placeShifts, sessionShifts } from '../../../src/planning/days/index.js'
import { fastestOf, groupRuns } from '../../../src/planning/recheck/group-runs.js'
import type { CheckedTable } from '../../../src/planning/recheck/index.js'
import {
  type FeedTable,
  fitAxis,
  fitMark,
  noisePosterior,
  type RunEvidence,
} from '../../../src/regression/index.js'
import { type SeededRandom, type SimulatedMill, seededRandom } from '../../../src/simulation/index.js'
import { type DayEffect, factorAlone, onDay } from './day-machines.js'
import { CONTINUOUS_FAMILIES } from './dial-families.js'
import { drawnMill, pick } from './drawn-mill.js'

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
  /** Besides, standard deviation of the feed that a day loses or gains alike at all settings, share of the fastest. */
  readonly lostRelative?: number
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
/** A machine that was drawn and measured before anything changed on it. */
export interface Measured {
  readonly mill: SimulatedMill
  readonly tables: readonly CheckedTable[]
  readonly runs: readonly RunEvidence[]
  /** Check runs of days before the change, and the table's own day effect. */
  readonly checks: readonly RunEvidence[]
  readonly tableDay: DayEffect
  readonly campaign: RecheckCampaign
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
  const tableDay = dayEffect(mill, random, campaign)
  const runs = directions.flatMap((direction) =>
    dials.flatMap((dial) =>
      Array.from({ length: repeats }, (_, k) =>
        runOf(mill, random, {
          dial,
          direction,
          id: `then/${direction}/${dial}/${k}`,
          readingRelative: campaign.readingRelative,
          day: tableDay,
          session: TABLE_DAY,
        }),
      ),
    ),
  )
  const checks = Array.from({ length: campaign.earlierDays ?? 0 }, (_, k) =>
    runOf(mill, random, {
      ...{ dial: pick(random, dials), direction: 1, readingRelative: campaign.readingRelative },
      ...{ id: `check/${k}`, session: `check ${k}`, day: dayEffect(mill, random, campaign) },
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

/** What one more day does to a machine. */
export function dayEffect(
  mill: SimulatedMill,
  random: SeededRandom,
  { dayRelative = 0, lostRelative = 0 }: RecheckCampaign,
): DayEffect {
  const factor = random.normal(0, dayRelative)
  const lost = lostRelative * mill.curve(mill.dialMax)
  return { factor, gainedMmPerMin: lost === 0 ? 0 : random.normal(0, lost) }
}

/** The day that the table was measured on, and the first one after it. */
export const TABLE_DAY = 'table'
export const DAY_1 = 'day 1'

/** The tables with what is known of their days once some new runs are made, as the program has it. */
export function tablesOnDays(
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
    readonly day?: DayEffect
    readonly offset?: number
    readonly session?: string
  },
): RunEvidence {
  const { logFactor = 0, day = factorAlone(0), offset = 0, readingRelative } = run
  const set = run.dial + offset + random.normal(0, mill.dialResetScatter)
  const factor = (run.direction === 1 ? 1 : mill.minusFactor) * Math.exp(logFactor)
  const trueFeed = onDay(mill.curve(set) * factor, day) * Math.exp(random.normal(0, mill.runScatter))
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
