import { adviseTable, type GoodEnough, type TableAdvice } from '../../jobs/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { directionSign } from '../../units/index.js'
import { nextRunText, outOfReachText, outOfReachTexts, standText } from '../../words/index.js'
import { parseDirection, parsePercent } from '../options.js'
import { printJson, printResult } from '../terminal/terminal.js'
import { type AdviseOptions, instrumentOf } from './options.js'

/** `advise` without a feed: what to measure next for the whole table, and how long it is likely to take. */
export function adviseTableCommand(store: Store, target: MachineAxis, options: AdviseOptions): void {
  const goodEnough: GoodEnough = {
    withinPercent: parsePercent(options.within, '--within'),
    percentAlone: options.percentOnly === true,
    directions: options.direction === undefined ? [1, -1] : [parseDirection(options.direction)],
  }
  const advice = adviseTable(store, target.axis, goodEnough, sourceOf(store, target, options))
  if (options.json) printJson(adviceJson(advice), advice)
  else printResult(adviceText(advice))
}

/** A readout, unless the runs are said to be timed by hand or the newest one was. */
function sourceOf(store: Store, { axis }: MachineAxis, options: AdviseOptions): 'readout' | 'stopwatch' {
  const isTold = [options.stopwatch, options.readoutRate, options.readoutStep].some(
    (one) => one !== undefined,
  )
  if (isTold) return instrumentOf(store, axis, options).instrument.kind
  return store.runs.list(axis.id).at(-1)?.source ?? 'readout'
}

function adviceJson(advice: TableAdvice): unknown {
  const { goodEnough, reached, worst, next, runs, minutes, outOfReach } = advice
  return {
    withinPercent: goodEnough.withinPercent,
    reached,
    worst: worst && { ...worst, direction: directionSign(worst.direction) },
    next: next && { ...next, direction: directionSign(next.direction) },
    runs,
    minutes,
    percentOnly: goodEnough.percentAlone,
    outOfReach: outOfReach.map((one) => ({
      ...one,
      direction: directionSign(one.direction),
      message: outOfReachText(one, advice),
    })),
  }
}

function adviceText(advice: TableAdvice): string {
  const { next, outOfReach } = advice
  return [
    standText(advice),
    ...(next === null ? [] : [nextRunText(next, advice)]),
    ...outOfReachTexts(outOfReach, advice),
  ].join('\n')
}
