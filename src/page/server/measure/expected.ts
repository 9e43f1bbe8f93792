import { UsageError } from '../../../errors/index.js'
import {
  adviseTable,
  expectedSession,
  expectedSweeps,
  type GoodEnough,
  goodEnoughProcedure,
  minutesAt,
  SweepsUntilGoodEnough,
  type TableAdvice,
} from '../../../jobs/index.js'
import { builtInProcedure, builtInProcedureNames } from '../../../planning/procedures/index.js'
import type { Axis, Store } from '../../../store/index.js'
import type { Direction } from '../../../traverse/index.js'
import { goodEnoughText, outOfReachTexts, standText, whyHereText, widthText } from '../../../words/index.js'
import type { ExpectedAnswer, GoodEnoughState } from '../../api.js'
import { MOST_PERCENT } from '../../limits.js'
import { nowIso } from '../desk.js'

/**
 * What is asked for, percent, where the page does not say. Judgement: the scatter of a usual drive and dial.
 */
const USUAL_PERCENT = 2

/**
 * What each way to calibrate is likely to take on this axis; a procedure that the dial has no marks for is left out.
 *
 * @param query `within`, the percentage that the table is wanted to, and `direction` where one alone is wanted
 * @throws UsageError `bad-number`
 */
export function expectedAnswer(store: Store, axis: Axis, query: URLSearchParams): ExpectedAnswer {
  const within = query.get('within')
  const withinPercent = within === null ? USUAL_PERCENT : Number(within)
  if (!(withinPercent > 0 && withinPercent <= MOST_PERCENT)) {
    throw new UsageError(
      'bad-number',
      `${within} is not a percentage between 0 and ${MOST_PERCENT}.`,
      'Give one like 2.',
    )
  }
  const goodEnough = { withinPercent, percentAlone: false, directions: directionsOf(query.get('direction')) }
  const { runs, likely } = adviseTable(store, axis, goodEnough, 'readout')
  return {
    procedures: builtInProcedureNames().flatMap((name) => {
      try {
        const expected = expectedSession(store, axis, builtInProcedure(name))
        return [{ name, runs: expected.runs, minutes: expected.minutes, width: widthText(expected) }]
      } catch (error) {
        if (error instanceof UsageError) return []
        throw error
      }
    }),
    goodEnoughWidth: goodEnoughText(withinPercent),
    goodEnough: (['readout', 'stopwatch'] as const).map((source) => ({
      source,
      runs,
      minutes: minutesAt(store, axis, likely, goodEnoughProcedure(goodEnough, source)),
    })),
    sweeps: expectedSweeps(store, axis, goodEnough.directions, nowIso()),
    sweepsUntilGood: axis.marks.length < 2 ? null : byTravels(store, axis, goodEnough),
  }
}

function directionsOf(direction: string | null): readonly Direction[] {
  if (direction === null) return [1, -1]
  return [direction === '-1' ? -1 : 1]
}

function byTravels(store: Store, axis: Axis, goodEnough: GoodEnough): ExpectedAnswer['sweepsUntilGood'] {
  const { runs, minutes } = new SweepsUntilGoodEnough(store, axis, goodEnough).advice
  return { runs, minutes }
}

/** How far a table is from good enough, as the page shows it. */
export function goodEnoughState(advice: TableAdvice): GoodEnoughState {
  const { goodEnough, reached, worst, next, runs, outOfReach } = advice
  return {
    withinPercent: goodEnough.withinPercent,
    percentAlone: goodEnough.percentAlone,
    reached,
    worst,
    runs,
    sentences: [standText(advice), ...(next === null ? [] : [whyHereText(next)])],
    outOfReach: outOfReachTexts(outOfReach, advice),
  }
}
