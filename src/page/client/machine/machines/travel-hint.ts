import { type LengthUnit, parseLengthMm } from '../../../../units/index.js'
import { travelQuestion } from '../../../../words/travel-question.js'

/** What stands below a travel that is typed: `how` to enter it, or a question about one that no usual table has. */
export function travelHint(text: string, unit: LengthUnit, how: string): string {
  try {
    return travelQuestion(parseLengthMm(text, unit, 'Travel'), unit) ?? how
  } catch {
    return how
  }
}
