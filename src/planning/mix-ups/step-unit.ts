import { fromMm, type LengthUnit, toMm } from '../../units/index.js'

/** Steps that readouts of machine tables have, mm: from 0.001 mm to 0.1 mm, a tenth more on both sides (common practice, no source). */
const USUAL_STEPS_MM = [0.0009, 0.11] as const

/**
 * Whether the step of a readout tells its unit: in that unit it is one that readouts have, in the other it would not be.
 *
 * Degrees are taken for nothing else, so that any step tells them.
 *
 * @param stepMm smallest step as the numbers were read in `readIn`, mm
 */
export function stepTells(stepMm: number, readIn: LengthUnit, unit: LengthUnit): boolean {
  if (unit === 'deg') return true
  const stepOfNumber = fromMm(stepMm, readIn)
  const other = unit === 'in' ? 'mm' : 'in'
  return isUsual(toMm(stepOfNumber, unit)) && !isUsual(toMm(stepOfNumber, other))
}

function isUsual(stepMm: number): boolean {
  return stepMm >= USUAL_STEPS_MM[0] && stepMm <= USUAL_STEPS_MM[1]
}
