import { leastSquares } from '../../src/numbers/index.js'
import type { SimulatedMill, SimulatedRun } from '../../src/simulation/index.js'
import type { ReadoutKind } from './machines/readout-kinds.js'

/** Fewest turns of the screw for which its ripple is counted as fitted. */
const FITTED_TURNS = 1.5

/**
 * The least standard deviation, mm/min, that any straight-line fit of this run's whole steady travel can have:
 * positions off by σx² = (v/60)²(τ² + B²/12) + q²/12 with arrival scatter τ, hand-over time B and step q, beside the
 * ripple of the screw where there is one (Gauss and Markov: 60·σx·√[(AᵀA)⁻¹]₂₂).
 *
 * @returns null where ripple is there and the travel too short to fit it: then noise is not what bounds the feed
 */
export function noiseBoundMmPerMin(
  run: SimulatedRun,
  mill: SimulatedMill,
  { readout, link }: ReadoutKind,
): number | null {
  const { phases, runFeedMmPerMin } = run.truth
  if (phases === null) return null
  const speed = runFeedMmPerMin / 60
  const spanS = phases.driveOffS - phases.steadyFromS
  const rippled = mill.rippleFraction > 0
  if (rippled && speed * spanS < FITTED_TURNS * mill.leadscrewPitchMm) return null
  const n = Math.floor(spanS * readout.refreshHz)
  const timeS = Float64Array.from({ length: n }, (_, i) => i / readout.refreshHz - spanS / 2)
  const turn = timeS.map((at) => (2 * Math.PI * speed * at) / mill.leadscrewPitchMm)
  const ripple = rippled ? [turn.map(Math.sin), turn.map(Math.cos)] : []
  const { unscaledCovariance } = leastSquares([timeS.map(() => 1), timeS, ...ripple], new Float64Array(n))
  const variance = speed ** 2 * (link.jitterS ** 2 + link.usbBatchS ** 2 / 12) + readout.stepMm ** 2 / 12
  return 60 * Math.sqrt(variance * (unscaledCovariance[1]?.[1] ?? Number.NaN))
}
