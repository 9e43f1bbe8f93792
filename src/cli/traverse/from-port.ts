import { UsageError } from '../../errors/index.js'
import { hostClock } from '../../ingest/index.js'
import { checkDial, singleSweep, type TakeOutcome, traverseOccasion } from '../../jobs/index.js'
import type { MachineAxis, Run, Store } from '../../store/index.js'
import { directionSign, parseDurationS } from '../../units/index.js'
import { followReadout, onInterrupt } from '../live/follow-readout.js'
import { tellCue } from '../live/sweep-text.js'
import { parseTags } from '../options.js'
import { showCautions } from '../terminal/cautions.js'
import { clearStatus, ringBell, say } from '../terminal/terminal.js'
import { turnedThrough } from './from-files.js'
import { conditionsFrom, requiredDial, type TraverseOptions } from './options.js'
import { presentOutcomes } from './present.js'

/**
 * `traverse --port …`: one live traverse, ended by rest, by Ctrl-C or by `--for`. Where the readout is unplugged and
 * comes back, a new recording begins: nothing is joined across the gap.
 */
export async function traverseFromPort(
  store: Store,
  target: MachineAxis,
  options: TraverseOptions,
): Promise<void> {
  if (!options.save) {
    throw new UsageError(
      'live-is-kept',
      'A live recording is always kept.',
      'Leave --no-save out; `tablepace run drop` leaves a run out of fits.',
    )
  }
  const settings = turnedThrough(options, target.axis)
  const dials = settings?.map((one) => checkDial(target.axis, one) as number)
  const dial = dials?.[0] ?? requiredDial(options, target.axis)
  const longestS = options.for === undefined ? null : parseDurationS(options.for, '--for')
  await showCautions(traverseOccasion(parseTags(options.tag)), options.yes === true, 'goes-on')

  const outcomes: TakeOutcome<Run>[] = []
  const said = new Set<string>()
  const { live, ended, end } = await followReadout(store, target, options, (event) => {
    if (event.kind === 'moving') say(`Moving in direction ${directionSign(event.direction)} …`)
    if (event.kind === 'sweep') tellCue(event, target.axis)
    if (event.kind === 'conclusions') for (const sentence of event.sentences) said.add(sentence)
    if (event.kind === 'judged') outcomes.push(event.outcome)
  })
  const stopListening = onInterrupt(() => end(null))
  const dropLimit = longestS === null ? () => {} : hostClock().after(longestS, () => end(null))
  try {
    const conditions = conditionsFrom(options)
    if (dials === undefined) live.arm({ kind: 'run', dial, conditions })
    else live.arm({ kind: 'sweep', sweeps: singleSweep(store, target.axis, dials), conditions })
    say(`Listening on ${options.port}: start the feed when ready. Ctrl-C ends.`)
    await ended
    clearStatus()
    ringBell()
  } finally {
    stopListening()
    dropLimit()
    await live.close()
  }
  const failure = await ended
  const told = options.json ? worthTelling(outcomes) : withoutSaid(worthTelling(outcomes), said)
  if (failure === null) return presentOutcomes(told, target, options)
  if (told.length === 0) throw failure
  // What ended the recording explains more than what could not be read of it.
  presentOutcomes(
    told.map((outcome) => ({ ...outcome, failure })),
    target,
    options,
  )
  throw failure
}

/** Pieces in which the table moved; the last one where it never did. */
function worthTelling(outcomes: readonly TakeOutcome<Run>[]): readonly TakeOutcome<Run>[] {
  const moved = outcomes.filter((outcome) => outcome.runs.length > 0)
  return moved.length > 0 ? moved : outcomes.slice(-1)
}

/** What was concluded from the lines was said while they came. */
function withoutSaid(outcomes: readonly TakeOutcome<Run>[], said: ReadonlySet<string>): TakeOutcome<Run>[] {
  return outcomes.map((outcome) => ({
    ...outcome,
    conclusions: outcome.conclusions.filter((conclusion) => !said.has(conclusion)),
  }))
}
