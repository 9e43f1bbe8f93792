import type { RunEvidence } from '../../src/regression/index.js'
import type { Direction } from '../../src/traverse/index.js'

/** Runs of one direction from a list of dials and what each run there came to, mm/min. */
export function runsAt(
  feedsByDial: readonly (readonly [dial: number, feedsMmPerMin: readonly number[]])[],
  direction: Direction = 1,
  relativeUncertainty = 1e-4,
): RunEvidence[] {
  return feedsByDial.flatMap(([dial, feeds]) =>
    feeds.map((feedMmPerMin, k) => ({
      runId: `${direction}:${dial}:${k}`,
      dial,
      direction,
      feedMmPerMin,
      standardUncertaintyMmPerMin: relativeUncertainty * feedMmPerMin,
      source: 'readout',
    })),
  )
}
