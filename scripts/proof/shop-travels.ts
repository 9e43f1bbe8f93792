import { nextTravel } from '../../src/planning/good-enough/index.js'
import { GUARDS_S, holdTimeS, onceThrough, settingsThatFit, TURN_S } from '../../src/planning/index.js'
import { SET_AND_START_S } from '../../src/planning/session/session-time.js'
import { fitAxis, type RunEvidence } from '../../src/regression/index.js'
import type { SeededRandom, SimulatedMill } from '../../src/simulation/index.js'
import type { Direction } from '../../src/traverse/index.js'
import { runOf } from './machines/measured-machines.js'
import { asked, axisOf, BOTH, MARKS, MOST_RUNS, READINGS, type ShopTable, told } from './shop-tables.js'

/** What one travel with many settings takes beside the travel itself and the first setting, s: the rests. */
const RESTS_S = 6
/** To and fro, the knob turned on the way, each travel through the settings that the table needs most. */
export function bySweeps(mill: SimulatedMill, random: SeededRandom, within: number): ShopTable {
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
export function byFullSweeps(mill: SimulatedMill, random: SeededRandom, within: number): ShopTable {
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
  return settingsThatFit(known, mill.travelMm, mill.leadscrewPitchMm).map(({ dial }) => dial)
}
