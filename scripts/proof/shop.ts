import { goodEnoughProcedure } from '../../src/jobs/plan/advise-table.js'
import { nextForTable, nextTravel, placesOf } from '../../src/planning/good-enough/index.js'
import {
  GUARDS_S,
  holdTimeS,
  onceThrough,
  type PlanStep,
  type Procedure,
  planSession,
  settingsThatFit,
  TURN_S,
  wantedTravel,
} from '../../src/planning/index.js'
import { builtInProcedure } from '../../src/planning/procedures/index.js'
import { SET_AND_START_S, sessionTimeS } from '../../src/planning/session/session-time.js'
import { type FittedAxis, fastestMark, fitAxis, type RunEvidence } from '../../src/regression/index.js'
import { type SeededRandom, type SimulatedMill, seededRandom } from '../../src/simulation/index.js'
import type { Direction } from '../../src/traverse/index.js'
import { drawnMill } from './machines/drawn-mill.js'
import { runOf } from './machines/rechecked-machines.js'

/** Marks of every dial in the shop. */
const MARKS = [2, 3, 4, 5, 6, 7, 8, 9, 10]
const BOTH: readonly Direction[] = [1, -1]
/**
 * What a reading leaves in a run's feed, relative: a readout over 20 s, over 7 s (the knob set before, or turned
 * on the way: not less than `npm run proof:levels` finds), two presses over 30 s, two readings of a film.
 */
const READINGS = { readout: 1e-4, run: 8e-4, level: 8e-4, stopwatch: 0.0034, film: 0.0013 } as const
/**
 * What beginning and ending a film takes beside what a stopwatch does, s a run: a look whether the display is in the picture.
 * And reading it afterwards: opened, framed, played once and confirmed. Judgement: timed by nobody yet.
 */
const FILMING_S = 5
export const READING_A_FILM_S = 60
/** What one travel with many settings takes beside the travel itself and the first setting, s: the rests. */
const RESTS_S = 6
/** A table that needs more runs than this is given up. */
const MOST_RUNS = 160

/** Ways to make a table. */
export const WAYS = {
  passes: 'three fixed passes by readout, both directions',
  'passes +': 'three fixed passes by readout, one direction',
  'stopwatch passes': 'three fixed passes by stopwatch, one direction',
  sweep: 'many settings in one travel, every mark twice each way',
  'sweep until': 'many settings in one travel until good enough',
  single: 'single runs until good enough, both directions',
  'single +': 'single runs until good enough, one direction',
  stopwatch: 'stopwatch until good enough, one direction',
  film: 'film until good enough, one direction',
} as const
export type Way = keyof typeof WAYS

/**
 * The fixed passes that a way is compared with, read alike and in as many directions, and the most of their minutes that
 * it may take, share: goals of our own. A film is read by a person as a stopwatch is, and has no goal.
 */
export const COMPARED: Readonly<Partial<Record<Way, { readonly yardstick: Way; readonly most?: number }>>> = {
  sweep: { yardstick: 'passes', most: 0.25 },
  'sweep until': { yardstick: 'passes', most: 0.25 },
  single: { yardstick: 'passes', most: 0.5 },
  'single +': { yardstick: 'passes +', most: 0.75 },
  stopwatch: { yardstick: 'stopwatch passes', most: 0.75 },
  film: { yardstick: 'stopwatch passes' },
}

/** A table made in the shop. */
export interface ShopTable {
  readonly minutes: number
  readonly runs: number
  /** Every place is good enough, but for gaps that no run a person can make narrows. */
  readonly reached: boolean
  readonly places: readonly { readonly atMark: boolean; readonly held: boolean }[]
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
  const directions = way === 'single' ? BOTH : [1 as const]
  return bySingleRuns(
    mill,
    random,
    within,
    directions,
    way === 'stopwatch' || way === 'film' ? way : 'readout',
  )
}

function axisOf(mill: SimulatedMill) {
  return { marks: MARKS, dialMin: mill.dialMin, dialMax: mill.dialMax, stepped: mill.stepped }
}

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
  const { steps } = planSession(procedure, { ...axisOf(mill), name: 'X' } as Parameters<
    typeof planSession
  >[1])
  const readingRelative = READINGS[procedure.source]
  const runs = steps.map((step: PlanStep, k) => runOf(mill, random, { ...step, id: `${k}`, readingRelative }))
  const directions = BOTH.filter((direction) => steps.some((step) => step.direction === direction))
  const { fitted, reached, outOfReach } = asked(mill, runs, within, directions)
  return told(mill, runs, fitted, timeOfSingle(mill, runs, procedure), reached || outOfReach > 0)
}

function bySingleRuns(
  mill: SimulatedMill,
  random: SeededRandom,
  within: number,
  directions: readonly Direction[],
  by: 'readout' | 'stopwatch' | 'film',
): ShopTable {
  const procedure = goodEnoughProcedure(
    { withinPercent: 100 * within },
    by === 'readout' ? 'readout' : 'stopwatch',
  )
  const readingRelative = READINGS[by === 'readout' ? 'run' : by]
  const runs: RunEvidence[] = []
  for (;;) {
    const { fitted, next, reached, outOfReach } = asked(mill, runs, within, directions)
    if (next === null || runs.length >= MOST_RUNS) {
      const timeS = timeOfSingle(mill, runs, procedure, by === 'film' ? FILMING_S : 0)
      return told(mill, runs, fitted, timeS, reached || outOfReach > 0)
    }
    runs.push(runOf(mill, random, { ...next, id: `${runs.length}`, readingRelative }))
  }
}

function asked(
  mill: SimulatedMill,
  runs: readonly RunEvidence[],
  within: number,
  directions: readonly Direction[],
) {
  const axis = axisOf(mill)
  const fitted = runs.length === 0 ? null : fitAxis(runs, axis)
  const answer = nextForTable({ within, percentAlone: false, directions, axis, runs, fitted })
  return { ...answer, fitted, outOfReach: answer.outOfReach.length }
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

/** To and fro, the knob turned on the way, each travel through the settings that the table needs most. */
function bySweeps(mill: SimulatedMill, random: SeededRandom, within: number): ShopTable {
  const axis = axisOf(mill)
  const runs: RunEvidence[] = []
  let timeS = 0
  let before: Direction | null = null
  for (let travel = 0; ; travel++) {
    const fitted = runs.length === 0 ? null : fitAxis(runs, axis)
    const { next, reached, outOfReach } = nextTravel({
      ...{ within, percentAlone: false, directions: BOTH, axis, runs, fitted, before },
      holds: (dials, direction) => fitting(mill, dials, direction).length === dials.length,
    })
    if (next === null || runs.length >= MOST_RUNS) {
      return told(mill, runs, fitted, timeS, reached || outOfReach.length > 0)
    }
    // Twice the same way: back by rapid between.
    if (next.direction === before) timeS += (60 * mill.travelMm) / mill.rapidFeedMmPerMin
    const made = travelled(mill, random, { wanted: next.dials, direction: next.direction, name: `${travel}` })
    runs.push(...made.runs)
    timeS += made.timeS
    before = next.direction
  }
}

/** How often `calibrate --sweep` measures every mark each way. */
const PASSES = 2

/** As the guided session does it: to and fro until every mark was measured so often each way, whatever the runs show. */
function byFullSweeps(mill: SimulatedMill, random: SeededRandom, within: number): ShopTable {
  const runs: RunEvidence[] = []
  const lacking = (direction: Direction): number[] => {
    const lack = MARKS.map((dial) => ({
      dial,
      runs: PASSES - runs.filter((run) => run.dial === dial && run.direction === direction).length,
    })).filter((one) => one.runs > 0)
    return onceThrough(lack, 1)
  }
  let timeS = 0
  for (let travel = 0; ; travel++) {
    const direction: Direction = travel % 2 === 0 ? 1 : -1
    const wanted = lacking(direction)
    if (wanted.length > 0) {
      const made = travelled(mill, random, { wanted, direction, name: `${travel}` })
      runs.push(...made.runs)
      timeS += made.timeS
    } else if (lacking(direction === 1 ? -1 : 1).length > 0) {
      timeS += (60 * mill.travelMm) / mill.rapidFeedMmPerMin
    } else {
      const { fitted, reached, outOfReach } = asked(mill, runs, within, BOTH)
      return told(mill, runs, fitted, timeS, reached || outOfReach > 0)
    }
  }
}

/** One travel through as many of the settings wanted as fit; what changes from run to run is the same for all of them. */
function travelled(
  mill: SimulatedMill,
  random: SeededRandom,
  {
    wanted,
    direction,
    name,
  }: { readonly wanted: readonly number[]; readonly direction: Direction; readonly name: string },
): { readonly runs: readonly RunEvidence[]; readonly timeS: number } {
  const calm = { ...mill, runScatter: 0 }
  const logFactor = random.normal(0, mill.runScatter)
  const runs = fitting(mill, wanted, direction).map((dial) => ({
    ...runOf(calm, random, {
      ...{ dial, direction, logFactor, readingRelative: READINGS.level },
      id: `${name}-${dial}`,
    }),
    travel: name,
  }))
  const heldS = runs.map(
    ({ feedMmPerMin }) => holdTimeS(feedMmPerMin, mill.leadscrewPitchMm) + TURN_S + GUARDS_S,
  )
  return { runs, timeS: SET_AND_START_S + RESTS_S - TURN_S + heldS.reduce((sum, one) => sum + one, 0) }
}

function fitting(mill: SimulatedMill, dials: readonly number[], direction: Direction): number[] {
  const factor = direction === 1 ? 1 : mill.minusFactor
  const known = dials.map((dial) => ({ dial, feedMmPerMin: mill.curve(dial) * factor }))
  return settingsThatFit(known, mill.travelMm, mill.leadscrewPitchMm)
}

function told(
  mill: SimulatedMill,
  runs: readonly RunEvidence[],
  fitted: FittedAxis | null,
  timeS: number,
  reached: boolean,
): ShopTable {
  const places = fitted === null ? [] : heldPlaces(mill, fitted)
  return { minutes: timeS / 60, runs: runs.length, reached, places }
}

function heldPlaces(mill: SimulatedMill, fitted: FittedAxis): ShopTable['places'] {
  return fitted.directions.flatMap((side) => {
    const points = side.curve.length > 0 ? side.curve : side.marks
    const factor = side.direction === 1 ? 1 : mill.minusFactor
    return (placesOf(side, fastestMark(fitted.directions)) ?? []).map(({ dial }) => {
      const { interval95 } = points.find((point) => point.dial === dial)!
      const feed = mill.curve(dial) * factor
      return {
        atMark: side.marks.some((mark) => mark.dial === dial),
        held: interval95 !== null && feed >= interval95[0] && feed <= interval95[1],
      }
    })
  })
}
