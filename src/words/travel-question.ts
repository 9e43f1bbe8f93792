import { travelMeantIn } from '../planning/mix-ups/check-travel.js'
import { formatBothLengths, type LengthUnit, unitWord } from '../units/index.js'

/** Asks of a travel that no usual table has what its number was more likely meant in; null where it is usual. */
export function travelQuestion(travelMm: number, unit: LengthUnit): string | null {
  const meant = travelMeantIn(travelMm, unit)
  if (meant === null) return null
  return `A travel of ${formatBothLengths(travelMm)} is ${meant === 'mm' ? 'very long' : 'very short'}. Meant in ${unitWord(meant)}?`
}
