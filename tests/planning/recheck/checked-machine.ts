import { seededNormal } from '../../../src/numbers/index.js'
import type { CheckedTable } from '../../../src/planning/recheck/index.js'
import { fitAxis, type RunEvidence } from '../../../src/regression/index.js'

export const OPTIONS = { stepped: false }
export const DIALS = [2, 3, 4, 5, 6, 7, 8, 9]
const curve = (dial: number) => 12 + 35 * dial + 2 * dial ** 2

interface Made {
  readonly factor?: number
  readonly turned?: number
  readonly scatter?: number
  readonly direction?: 1 | -1
}

/** Runs of an invented machine whose feeds scatter by half a percent and whose knob by 0.02. */
export function runsAt(
  dials: readonly number[],
  each: number,
  normal: () => number,
  made: Made = {},
): RunEvidence[] {
  const { factor = 1, turned = 0, scatter = 0.005, direction = 1 } = made
  return dials.flatMap((dial) =>
    Array.from({ length: each }, (_, k) => {
      const feedMmPerMin = factor * curve(dial + turned + 0.02 * normal()) * Math.exp(scatter * normal())
      return {
        runId: `${factor}/${turned}/${direction}/${dial}/${k}/${feedMmPerMin}`,
        dial,
        direction,
        feedMmPerMin,
        standardUncertaintyMmPerMin: 5e-5 * feedMmPerMin,
        source: 'readout' as const,
      }
    }),
  )
}

export function tableFrom(runs: readonly RunEvidence[], direction: 1 | -1 = 1): CheckedTable {
  const fitted = fitAxis(runs, OPTIONS).directions.find((side) => side.direction === direction)!
  const { marks, curve: points } = fitted
  const own = runs.filter((run) => run.direction === direction)
  return { direction, marks, curve: points, runs: own, commonAt: () => new Map() }
}

export function measured(seed: number) {
  const normal = seededNormal(seed)
  const runs = runsAt(DIALS, 3, normal)
  return { normal, runs, table: tableFrom(runs) }
}

/** The same runs on a dial whose feed falls as its numbers rise. */
export const mirrored = (runs: readonly RunEvidence[]): RunEvidence[] =>
  runs.map((run) => ({ ...run, dial: 11 - run.dial }))
