/**
 * Power that a cut takes at the spindle, P = K Q (Mechanical Engineer's Data Handbook, p. 192; the unit of its K is
 * inferred there as W s/mm³).
 *
 * @param specificEnergyWsPerMm3 energy that a volume of chips takes, W s/mm³
 * @returns W
 * @example spindlePowerW(2.7, 10_000) // 450
 */
export function spindlePowerW(specificEnergyWsPerMm3: number, removalRateMm3PerMin: number): number {
  return (specificEnergyWsPerMm3 * removalRateMm3PerMin) / 60
}

/** What belts and gears of a small machine pass on of the motor's power (common practice, no source). */
export const SPINDLE_EFFICIENCY = 0.75
