import { cautionsFor, minutesAt, recheckProcedure, runsForRecheck, sweepRecheck } from '../../jobs/index.js'
import { recheckSteps } from '../../planning/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { countOf } from '../../text/index.js'
import { directionSign, formatDial } from '../../units/index.js'
import { outlookSentence } from '../../words/index.js'
import { nowIso } from '../context.js'
import { printCautions } from '../terminal/cautions.js'
import { printJson, printResult } from '../terminal/terminal.js'
import { onCommandLine } from '../wording.js'
import type { Asked } from './asked.js'
import { parseDirections, type RecheckOptions } from './options.js'

/** `recheck --plan`: which runs to make, for whoever records them by other ways. */
export function tellPlan(store: Store, { axis }: MachineAxis, options: RecheckOptions, asked: Asked): void {
  const wish = {
    ...asked,
    directions: parseDirections(options.direction),
    fresh: options.new === true,
  }
  const { runs, directions, outlook } = runsForRecheck(store, axis, wish)
  const toKnow = outlookSentence(asked.withinPercent, outlook, axis)
  const signs = directions.map(directionSign)
  const cautions = cautionsFor('beforeTraverse')
  const { steps } = recheckSteps(runs, directions)
  const source = options.stopwatch ? 'stopwatch' : 'readout'
  const minutes = options.sweep
    ? sweepRecheck(store, axis, { runs, directions }, nowIso()).outlook.minutesLeft
    : minutesAt(store, axis, steps, recheckProcedure(asked.reason, source, runs))
  if (options.json) {
    printJson(
      {
        cautions: cautions.cautions,
        withinPercent: asked.withinPercent,
        plan: runs.map((one) => ({ ...one, directions: signs })),
        runs: steps.length,
        minutes,
        outlook,
        warning: toKnow && onCommandLine(toKnow),
      },
      axis,
    )
    return
  }
  const lines = runs.map(
    ({ dial, runs: count }) =>
      `  dial ${formatDial(dial, axis)}: ${count} runs in direction ${signs.join(' and ')}`,
  )
  printCautions(cautions)
  printResult(
    [
      `To recheck within ${asked.withinPercent} %, make these runs and set the dial again for each:`,
      ...lines,
      `${countOf(steps.length, 'run')}, about ${countOf(minutes, 'minute')}.`,
      ...(toKnow === null ? [] : [onCommandLine(toKnow)]),
    ].join('\n'),
  )
}
