import {
  findProcedure,
  fitTables,
  GuidedSession,
  goodEnoughProcedure,
  traverseOccasion,
} from '../../jobs/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { outOfReachTexts, standText } from '../../words/index.js'
import { presentFit } from '../commands/tables/fit.js'
import { nowIso, tellBrokenOff } from '../context.js'
import { parseTags } from '../options.js'
import { showCautions } from '../terminal/cautions.js'
import { paint, say } from '../terminal/terminal.js'
import { type CalibrateOptions, goodEnoughOf } from './options.js'
import { runReadoutSession } from './readout-session.js'
import { beforeText, doneText } from './session-text.js'
import { runStopwatchSession } from './stopwatch-session.js'

/** `calibrate`: walks through the procedure, then fits. Broken off, it goes on where it stopped. */
export async function calibrate(store: Store, target: MachineAxis, options: CalibrateOptions): Promise<void> {
  await tellBrokenOff(store, target)
  const source = options.stopwatch ? 'stopwatch' : 'readout'
  const goodEnough = goodEnoughOf(options)
  const procedure =
    goodEnough === null
      ? await findProcedure(options.procedure ?? (source === 'stopwatch' ? 'stopwatch' : 'standard'))
      : goodEnoughProcedure(goodEnough, source)
  say(paint('bold', procedure.title))
  for (const caution of procedure.cautions) say(`  - ${caution}`)
  await showCautions(
    traverseOccasion(parseTags(options.tag)),
    options.yes === true,
    // A stopwatch on the keyboard says by itself that it needs a terminal.
    source === 'stopwatch' ? 'goes-on' : 'is-refused',
  )
  const fresh = options.new === true
  const session =
    goodEnough === null
      ? GuidedSession.open(store, target.axis, { procedure, source, fresh }, nowIso())
      : GuidedSession.openUntilGoodEnough(store, target.axis, { goodEnough, source, fresh }, nowIso())
  if (session.resumed) {
    say(`Carrying on with the last session: ${doneText(session)} are done. --new starts over.`)
  }
  say(beforeText(session, procedure, store, target))
  const run = source === 'stopwatch' ? runStopwatchSession : runReadoutSession
  const complete = await run(session, procedure, { store, target, options })
  if (!complete) {
    say(
      `Stopped at ${doneText(session)}; the same command carries on from here, \`tablepace fit\` fits what there is.`,
    )
    return
  }
  session.end(nowIso())
  const { advice } = session
  if (advice !== null)
    for (const line of [standText(advice), ...outOfReachTexts(advice.outOfReach, advice)]) say(line)
  const fit = {
    filter: {},
    reason: `calibration: ${goodEnough === null ? procedure.name : `to ± ${goodEnough.withinPercent} %`}`,
    fittedAt: nowIso(),
  }
  await presentFit(fitTables(store, target.axis, fit), options.json === true)
}
