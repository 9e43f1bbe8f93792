import { type AxisAdvice, adviseAxis } from '../../jobs/index.js'
import type { Axis, MachineAxis, Store } from '../../store/index.js'
import { directionSign, parseFeedMmPerMin } from '../../units/index.js'
import { adviceReasons, adviceSentences } from '../../words/index.js'
import { feedQuantity, lengthJson } from '../json-shapes.js'
import { parseDirection, parsePercent } from '../options.js'
import { printJson, printResult } from '../terminal/terminal.js'
import { onCommandLine } from '../wording.js'
import { type AdviseOptions, instrumentOf, positive } from './options.js'

/** `advise`: how long a traverse and how many runs, and the next most useful run. */
export function adviseCommand(
  store: Store,
  target: MachineAxis,
  options: AdviseOptions & { readonly feed: string },
): void {
  const { axis } = target
  const feedMmPerMin = positive(parseFeedMmPerMin(options.feed, axis.unit, '--feed'), '--feed')
  const withinPercent = parsePercent(options.within, '--within')
  const { instrument, sentence } = instrumentOf(store, axis, options)
  const answer = adviseAxis(store, target, {
    feedMmPerMin,
    within: withinPercent / 100,
    instrument,
    direction: options.direction === undefined ? 1 : parseDirection(options.direction),
  })
  const why = adviceReasons(answer, sentence).map(onCommandLine)
  if (options.json) printJson(adviceJson(answer, feedMmPerMin, withinPercent, why.join(' '), axis), answer)
  else {
    const told = adviceSentences(answer, feedMmPerMin, axis.unit)
    printResult(
      [...told.answer, ...why, ...told.next]
        .map((text, index) => (index === 0 ? text : `  ${text}`))
        .join('\n'),
    )
  }
}

function adviceJson(
  { advice, direction, next, earlierRuns }: AxisAdvice,
  feedMmPerMin: number,
  withinPercent: number,
  why: string,
  { unit }: Axis,
): unknown {
  return {
    target: feedQuantity(feedMmPerMin, unit),
    withinPercent,
    dial: advice.dial,
    direction: directionSign(direction),
    travel: lengthJson(advice.travelMm, unit),
    runs: advice.runs,
    timeS: advice.timeS,
    expectedPercent: advice.expectedPercent,
    nowPercent: advice.nowPercent,
    runPercent: advice.ownPercent,
    scatter: { ...advice.scatter, earlierRuns },
    next:
      next === null
        ? null
        : {
            dial: next.dial,
            direction: directionSign(next.direction),
            because: next.because,
            nowPercent: next.nowPercent,
          },
    why,
  }
}
