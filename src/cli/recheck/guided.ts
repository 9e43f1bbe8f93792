import { openGuidedRecheck, runsForRecheck, sweepRecheck, traverseOccasion } from '../../jobs/index.js'
import type { RecheckOutlook } from '../../planning/recheck/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { countOf } from '../../text/index.js'
import { formatDial } from '../../units/index.js'
import { outlookSentence } from '../../words/index.js'
import { runReadoutSession } from '../calibrate/readout-session.js'
import { doneText } from '../calibrate/session-text.js'
import { runStopwatchSession } from '../calibrate/stopwatch-session.js'
import { runSweeps } from '../calibrate/sweep-session.js'
import { nowIso } from '../context.js'
import { parseTags } from '../options.js'
import { showCautions } from '../terminal/cautions.js'
import { paint, say } from '../terminal/terminal.js'
import { onCommandLine } from '../wording.js'
import type { Asked } from './asked.js'
import { parseDirections, type RecheckOptions } from './options.js'

/**
 * Guides the runs that a recheck needs: those an open recheck still asks for, else those of the marks that tell most.
 *
 * @returns ids of the runs made; null where the session was left before its end, which goes on next time
 * @throws DataError as `openGuidedRecheck` does
 */
export async function guidedRuns(
  store: Store,
  target: MachineAxis,
  options: RecheckOptions,
  asked: Asked,
  tag: string,
): Promise<string[] | null> {
  const source = options.stopwatch ? 'stopwatch' : 'readout'
  const { session, procedure, runs } = openGuidedRecheck(
    store,
    target.axis,
    { ...asked, source, directions: parseDirections(options.direction), fresh: options.new === true },
    nowIso(),
  )
  say(paint('bold', procedure.title))
  say(
    `${session.plan.steps.length} runs at ${runs.map(({ dial }) => `dial ${formatDial(dial, target.axis)}`).join(', ')}, about ${countOf(session.outlook(procedure).minutesLeft, 'minute')}.`,
  )
  sayOutlook(asked.withinPercent, session.recheck?.outlook ?? null, target.axis)
  if (session.resumed) {
    say(`Carrying on with the last session: ${doneText(session)} are done. --new starts over.`)
  }
  // Records as `traverse` does, which goes on where there is no terminal to ask on.
  await showCautions(traverseOccasion(parseTags(options.tag)), options.yes === true, 'goes-on')
  const run = source === 'stopwatch' ? runStopwatchSession : runReadoutSession
  const tagged = { ...options, tag: [...options.tag, tag] }
  const complete = await run(session, procedure, { store, target, options: tagged })
  if (!complete) {
    say(`Stopped at ${doneText(session)}; the same command carries on from here.`)
    return null
  }
  session.end(nowIso())
  return [...session.runIds]
}

/** What is to be known of the runs before any is made. */
function sayOutlook(withinPercent: number, outlook: RecheckOutlook | null, axis: MachineAxis['axis']): void {
  const toKnow = outlookSentence(withinPercent, outlook, axis)
  if (toKnow !== null) say(onCommandLine(toKnow))
}

/**
 * The same runs, made in few travels with the knob turned on the way.
 *
 * @returns ids of the runs made; null where it was left before its end
 * @throws DataError as `runsForRecheck` does
 */
export async function sweptRuns(
  store: Store,
  target: MachineAxis,
  options: RecheckOptions,
  asked: Asked,
  tag: string,
): Promise<string[] | null> {
  const wish = { ...asked, directions: parseDirections(options.direction), fresh: options.new === true }
  const wished = runsForRecheck(store, target.axis, wish)
  const sweeps = sweepRecheck(store, target.axis, wished, nowIso())
  const { travelsLeft, minutesLeft } = sweeps.outlook
  say(
    `${countOf(sweeps.missing, 'run')} at ${wished.runs.map(({ dial }) => `dial ${formatDial(dial, target.axis)}`).join(', ')}, in ${countOf(travelsLeft, 'travel')}, about ${countOf(minutesLeft, 'minute')}.`,
  )
  sayOutlook(asked.withinPercent, wished.outlook, target.axis)
  await showCautions(traverseOccasion(parseTags(options.tag)), options.yes === true, 'goes-on')
  const made = await runSweeps(
    store,
    target,
    { ...options, tag: [...options.tag, tag] },
    sweeps,
    () => `${sweeps.missing} to go.`,
  )
  if (sweeps.missing === 0) return made
  say(
    made.length === 0
      ? 'Stopped before a run was made.'
      : `Stopped with ${countOf(sweeps.missing, 'run')} to go. \`tablepace recheck --runs ${made.join(',')}\` judges what there is.`,
  )
  return null
}
