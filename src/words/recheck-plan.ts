import { type Said, sentence, way } from '../errors/index.js'
import type { FinestTolerance, RecheckOutlook } from '../planning/recheck/index.js'
import { type DialWriting, formatDial } from '../units/index.js'

/** How the finest tolerance that can be decided is told: rounded upwards, so that what is named can be decided. */
export function finestText({ withinPercent, dial }: FinestTolerance, writing: DialWriting): string {
  return `${(Math.ceil(10 * withinPercent) / 10).toFixed(1)} % at dial ${formatDial(dial, writing)}`
}

/** Why no tolerance finer than that can be decided, and what would make it finer. */
export function finestBecause({ because }: FinestTolerance): string {
  return because === 'days'
    ? 'because the table stands for the day it was measured on, and days differ. Check runs on other days, made before anything is changed on the machine, show how that day lay and make it finer'
    : 'because the table itself is not known better there. More runs at each mark of the table make it finer'
}

/**
 * Probability that the first runs decide, below which it is said beforehand. Judgement: where more than one recheck in three
 * asks for more, whoever makes the runs wants to know.
 */
const LIKELY = 2 / 3

/**
 * Probability that a move of twice the tolerance is shown, below which it is said beforehand: what is promised of a recheck
 * of which nothing is said.
 */
export const SHOWN = 0.95

/**
 * What to know before the first runs of a recheck are made: that none can decide, that they often do not, or that even a
 * move of twice the tolerance may stay open.
 */
export function outlookSentence(
  withinPercent: number,
  outlook: RecheckOutlook | null,
  writing: DialWriting,
): Said | null {
  if (outlook === null) return null
  const { finest, decides } = outlook
  if (withinPercent < finest.withinPercent) {
    return sentence`No number of runs can show that the table holds within ${withinPercent} %. They cannot show less than ${finestText(finest, writing)}, ${finestBecause(finest)}. Allow more${way('tolerance', { percent: null })}, or go on if a larger change is all that you want to find.`
  }
  const missed = missedText(withinPercent, outlook)
  if (decides >= LIKELY) return missed === null ? null : sentence`${missed}`
  const more = finest.because === 'days' ? 'asks for runs on another day' : 'asks for more runs'
  const then = missed === null ? '' : ` ${missed}`
  return sentence`If nothing moved, these runs decide in about ${Math.max(1, Math.round(10 * decides))} of 10 rechecks within ${withinPercent} %; where they do not, it ${more}. Allow more${way('tolerance', { percent: null })} to decide sooner.${then}`
}

/** That a move of twice the tolerance may stay open, and what would have made it surer; null where it hardly ever does. */
function missedText(withinPercent: number, { showsTwice, finest }: RecheckOutlook): string | null {
  if (showsTwice === null || showsTwice >= SHOWN) return null
  const shown = Math.floor(100 * showsTwice)
  const [on, surer] =
    finest.because === 'days'
      ? [
          ' on other days as well',
          'Check runs on other days, made before anything is changed on the machine,',
        ]
      : ['', 'More runs at each mark of the table']
  return `A move of ${2 * withinPercent} %, twice what you allow, is shown in about ${shown} of 100 rechecks when all runs are made that it asks for${on}; else it stays undecided. ${surer} make that surer.`
}
