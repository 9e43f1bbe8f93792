import { goodEnoughProcedure } from '../../src/jobs/plan/advise-table.js'
import { type PlanStep, type Procedure, planSession, wantedTravel } from '../../src/planning/index.js'
import { builtInProcedure } from '../../src/planning/procedures/index.js'
import { sessionTimeS } from '../../src/planning/session/session-time.js'
import { type RunEvidence, scatterBefore } from '../../src/regression/index.js'
import { type SeededRandom, type SimulatedMill, seededRandom } from '../../src/simulation/index.js'
import type { Direction } from '../../src/traverse/index.js'
import { drawnMill } from './machines/drawn-mill.js'
import { runOf } from './machines/measured-machines.js'
import {
  asked,
  axisOf,
  BOTH,
  type Earlier,
  MOST_RUNS,
  READINGS,
  type ShopTable,
  told,
} from './shop-tables.js'
import { byFullSweeps, bySweeps } from './shop-travels.js'

/**
 * What beginning and ending a film takes beside what a stopwatch does, s a run: a look whether the display is in the picture.
 * And reading it afterwards: opened, framed, played once and confirmed. Judgement: timed by nobody yet.
 */
const FILMING_S = 5
export const READING_A_FILM_S = 60
/** Ways to make a table. */
export const WAYS = {
  passes: 'three fixed passes by readout, both directions',
  'passes +': 'three fixed passes by readout, one direction',
  'stopwatch passes': 'three fixed passes by stopwatch, one direction',
  sweep: 'many settings in one travel, every mark twice each way',
  'sweep until': 'many settings in one travel until good enough',
  single: 'single runs until good enough, both directions',
  'single +': 'single runs until good enough, one direction',
  again: 'single runs until good enough, both directions, on a machine with an earlier table',
  stopwatch: 'stopwatch until good enough, one direction',
  film: 'film until good enough, one direction',
} as const
type Way = keyof typeof WAYS

/**
 * The fixed passes that a way is compared with, read alike and in as many directions, and the most of their minutes that
 * it may take, share: goals of our own. A film is read by a person as a stopwatch is, and has no goal; nor has a machine whose
 * scatter an earlier table told, which shows what not knowing it beforehand costs.
 */
export const COMPARED: Readonly<Partial<Record<Way, { readonly yardstick: Way; readonly most?: number }>>> = {
  sweep: { yardstick: 'passes', most: 0.25 },
  'sweep until': { yardstick: 'passes', most: 0.25 },
  single: { yardstick: 'passes', most: 0.5 },
  'single +': { yardstick: 'passes +', most: 0.75 },
  again: { yardstick: 'passes' },
  stopwatch: { yardstick: 'stopwatch passes', most: 0.75 },
  film: { yardstick: 'stopwatch passes' },
}

/** Makes the table of one drawn machine in one way. */
export function tableOf(family: string, seed: number, way: Way, within: number): ShopTable {
  const mill = drawnMill(family, seed)
  const random = seededRandom(seed + 1)
  if (way === 'passes') return byPasses(mill, random, within, builtInProcedure('standard'))
  if (way === 'passes +') return byPasses(mill, random, within, oneWay('standard'))
  if (way === 'stopwatch passes') return byPasses(mill, random, within, oneWay('stopwatch'))
  if (way === 'sweep') return byFullSweeps(mill, random, within)
  if (way === 'sweep until') return bySweeps(mill, random, within)
  const directions = way === 'single' || way === 'again' ? BOTH : [1 as const]
  const earlier =
    way === 'again' ? scatterBefore([earlierRuns(mill, seed + 2)], { stepped: mill.stepped }) : []
  return bySingleRuns(mill, random, within, {
    directions,
    by: way === 'stopwatch' || way === 'film' ? way : 'readout',
    earlier,
  })
}

/** The runs of a table of three fixed passes that was made before something on the machine was changed. */
function earlierRuns(mill: SimulatedMill, seed: number): RunEvidence[] {
  const random = seededRandom(seed)
  const { steps } = planSession(builtInProcedure('standard'), { ...axisOf(mill), name: 'X' } as PlannedAxis)
  const readingRelative = READINGS.readout
  return steps.map((step, k) => runOf(mill, random, { ...step, id: `earlier ${k}`, readingRelative }))
}

type PlannedAxis = Parameters<typeof planSession>[1]

/** A procedure of the program, its runs in the plus direction alone. */
function oneWay(name: string): Procedure {
  return { ...builtInProcedure(name), directions: ['+'] }
}

function byPasses(
  mill: SimulatedMill,
  random: SeededRandom,
  within: number,
  procedure: Procedure,
): ShopTable {
  const { steps } = planSession(procedure, { ...axisOf(mill), name: 'X' } as PlannedAxis)
  const readingRelative = READINGS[procedure.source]
  const runs = steps.map((step: PlanStep, k) => runOf(mill, random, { ...step, id: `${k}`, readingRelative }))
  const directions = BOTH.filter((direction) => steps.some((step) => step.direction === direction))
  const { fitted, reached, outOfReach } = asked(mill, runs, within, directions)
  return told(mill, runs, fitted, timeOfSingle(mill, runs, procedure), reached || outOfReach > 0)
}

/** How single runs are made. */
interface SingleRuns {
  readonly directions: readonly Direction[]
  readonly by: 'readout' | 'stopwatch' | 'film'
  readonly earlier: Earlier
}

function bySingleRuns(
  mill: SimulatedMill,
  random: SeededRandom,
  within: number,
  { directions, by, earlier }: SingleRuns,
): ShopTable {
  const procedure = goodEnoughProcedure(
    { withinPercent: 100 * within },
    by === 'readout' ? 'readout' : 'stopwatch',
  )
  const readingRelative = READINGS[by === 'readout' ? 'run' : by]
  const runs: RunEvidence[] = []
  for (;;) {
    const { fitted, next, reached, outOfReach } = asked(mill, runs, within, directions, earlier)
    if (next === null || runs.length >= MOST_RUNS) {
      const timeS = timeOfSingle(mill, runs, procedure, by === 'film' ? FILMING_S : 0)
      return told(mill, runs, fitted, timeS, reached || outOfReach > 0)
    }
    runs.push(runOf(mill, random, { ...next, id: `${runs.length}`, readingRelative }))
  }
}

/** @param besideS what each run takes beside what its procedure does, s */
function timeOfSingle(
  mill: SimulatedMill,
  runs: readonly RunEvidence[],
  procedure: Procedure,
  besideS = 0,
): number {
  const runsS = sessionTimeS(
    runs.map(({ direction, feedMmPerMin }) => ({ direction, feedMmPerMin })),
    { ...procedure, wanted: wantedTravel(procedure, mill), rapidFeedMmPerMin: mill.rapidFeedMmPerMin },
  )
  return runsS + besideS * runs.length
}
