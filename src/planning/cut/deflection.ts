import type { CutterMaterial } from './data/cutting-data.js'

/** Young's modulus, N/mm²: high-speed steel about 200 to 210 GPa, cemented carbide about 550 to 650 (from memory). */
const MODULUS_N_PER_MM2: Readonly<Record<CutterMaterial, number>> = { hss: 200_000, carbide: 550_000 }

/** Flutes leave about 0.8 of the diameter to carry the load (common practice, no source). */
const CORE_SHARE = 0.8

/**
 * How far the tip of an end mill is pushed aside: a cantilever of length L with a force F at the distance a from where
 * it is held, y = F a² (3L − a)/(6 E I) with I = π d⁴/64, which is F L³/(3 E I) for a = L. An end mill as a cantilever:
 * Q. Wu and others, Investigation of Tool Deflection of Solid Carbide End Mill in Cutting, Applied Mechanics and
 * Materials 163 (2012) 95-99; the same formula in the simulation of Metal Cutting, "Modeling of metal cutting", p. 378,
 * eq. 12.10. The force stands at the middle of the depth.
 *
 * @param forceN sideways force on the cutter, N
 * @param stickOutMm from the collet to the tip, mm
 * @returns mm
 */
export function deflectionMm(
  forceN: number,
  cutter: {
    readonly diameterMm: number
    readonly stickOutMm: number
    readonly depthMm: number
    readonly cutterMaterial: CutterMaterial
  },
): number {
  const { diameterMm, stickOutMm, depthMm, cutterMaterial } = cutter
  const inertiaMm4 = (Math.PI * (CORE_SHARE * diameterMm) ** 4) / 64
  const atMm = Math.max(0, stickOutMm - depthMm / 2)
  return (forceN * atMm ** 2 * (3 * stickOutMm - atMm)) / (6 * MODULUS_N_PER_MM2[cutterMaterial] * inertiaMm4)
}

/**
 * Mean force at the rim of a cutter from the power of the cut, F = P/v. The force across the feed is of the same size,
 * which is what bends the cutter (common practice, no source).
 *
 * @returns N
 */
export function rimForceN(powerW: number, cuttingSpeedMPerMin: number): number {
  return (60 * powerW) / cuttingSpeedMPerMin
}
