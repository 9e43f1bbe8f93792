import { observe } from '../../../scripts/proof/full-chain.js'
import { drawnMill } from '../../../scripts/proof/machines/drawn-mill.js'
import { READOUT_KINDS } from '../../../scripts/proof/machines/readout-kinds.js'
import { coastBounds, type RecordedCoast } from '../../../src/planning/stops/index.js'
import { judgeRecording } from '../../../src/regression/index.js'
import { simulateRun } from '../../../src/simulation/index.js'

/** One simulated setting: the bound it was given, and what the next coasts truly were. */
interface SimulatedBound {
  readonly upper95Mm: number
  readonly meanMm: number
  readonly nextMm: readonly number[]
}

const FAMILIES = ['saturating', 's-shaped', 'straight-with-a-kink'] as const
const NEXT_COASTS = 20
const LONGEST_S = 8

/**
 * A drawn mill whose coasts are recorded by a readout and judged by the program, `count` at each direction of one
 * setting, and the true coasts of the runs that come after.
 */
export function simulatedBounds(seed: number, count: number): SimulatedBound[] {
  const mill = drawnMill(FAMILIES[seed % FAMILIES.length]!, seed)
  const kind = READOUT_KINDS[seed % READOUT_KINDS.length]!
  const dial = seed % 5 === 4 ? ('rapid' as const) : ([5, 7, 9, 10] as const)[seed % 4]!
  const run = (direction: 1 | -1, k: number) =>
    simulateRun(
      mill,
      { dial, direction, drivenMm: 0.5 * mill.travelMm, longestS: LONGEST_S },
      1000 * seed + k,
    )
  const recorded = ([1, -1] as const).flatMap((direction): RecordedCoast[] =>
    Array.from({ length: count }, (_, k) => k).flatMap((k) => {
      const { motion } = run(direction, 10 * k + (direction === 1 ? 0 : 5))
      const judged = judgeRecording(observe(motion, kind, {}, 1000 * seed + 10 * k + 3), {
        leadscrewPitchMm: mill.leadscrewPitchMm,
      })
      return judged.flatMap(({ traverse }) =>
        traverse.rejection === null && traverse.coast !== null
          ? [{ dial, direction: traverse.direction, ...traverse.coast }]
          : [],
      )
    }),
  )
  return coastBounds(recorded).flatMap(({ direction, upper95Mm, meanMm }) =>
    upper95Mm === null
      ? []
      : [
          {
            upper95Mm,
            meanMm,
            nextMm: Array.from(
              { length: NEXT_COASTS },
              (_, k) => run(direction, 500 + 2 * k + (direction === 1 ? 0 : 1)).truth.coastMm,
            ),
          },
        ],
  )
}
