import { findProcedure, fitTables, GuidedSession, traverseOccasion } from '../../jobs/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { showCautions } from '../cautions.js'
import { presentFit } from '../commands/fit.js'
import { nowIso, tellBrokenOff } from '../context.js'
import { parseTags } from '../options.js'
import { paint, say } from '../terminal.js'
import type { CalibrateOptions } from './options.js'
import { runReadoutSession } from './readout-session.js'
import { runStopwatchSession } from './stopwatch-session.js'

/** `calibrate`: walks through the procedure, then fits. Broken off, it goes on where it stopped. */
export async function calibrate(store: Store, target: MachineAxis, options: CalibrateOptions): Promise<void> {
  await tellBrokenOff(store, target)
  const source = options.stopwatch ? 'stopwatch' : 'readout'
  const procedure = await findProcedure(
    options.procedure ?? (source === 'stopwatch' ? 'stopwatch' : 'standard'),
  )
  say(paint('bold', procedure.title))
  for (const caution of procedure.cautions) say(`  - ${caution}`)
  await showCautions(
    traverseOccasion(parseTags(options.tag)),
    options.yes === true,
    // A stopwatch on the keyboard says by itself that it needs a terminal.
    source === 'stopwatch' ? 'goes-on' : 'is-refused',
  )
  const wanted = { procedure, source, fresh: options.new === true } as const
  const session = GuidedSession.open(store, target.axis, wanted, nowIso())
  const total = session.plan.steps.length
  if (session.resumed) {
    say(
      `Carrying on with the last session: ${session.doneSteps.length} of ${total} runs are done. --new starts over.`,
    )
  }
  const run = source === 'stopwatch' ? runStopwatchSession : runReadoutSession
  const complete = await run(session, procedure, { store, target, options })
  if (!complete) {
    say(
      `Stopped at ${session.doneSteps.length} of ${total} runs; \`tablepace calibrate\` goes on from here, \`tablepace fit\` fits what there is.`,
    )
    return
  }
  session.end(nowIso())
  const fit = { filter: {}, reason: `calibration: ${procedure.name}`, fittedAt: nowIso() }
  await presentFit(fitTables(store, target.axis, fit), options.json === true)
}
