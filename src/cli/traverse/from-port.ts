import { TablepaceError, UsageError } from '../../errors/index.js'
import { openReconnectingReadout } from '../../ingest/index.js'
import {
  LiveRecorder,
  type ReadoutSettings,
  SINGLE_RUN_REST_S,
  type TakeOutcome,
  traverseOccasion,
} from '../../jobs/index.js'
import type { MachineAxis, Run, Store } from '../../store/index.js'
import { parseDurationS } from '../../units/index.js'
import { showCautions } from '../cautions.js'
import { nowIso } from '../context.js'
import { LiveDisplay } from '../live-display.js'
import { parseTags } from '../options.js'
import { portLink } from '../readout/port-link.js'
import { clearStatus, ringBell, say } from '../terminal.js'
import { tellBack, tellLoss, waitS } from './gap-text.js'
import { settingsAfterMove } from './known-move.js'
import {
  conditionsFrom,
  type LineOptions,
  lineReading,
  requiredDial,
  type TraverseOptions,
} from './options.js'
import { presentOutcomes } from './present.js'

/**
 * `traverse --port …`: one live recording, ended by rest, by Ctrl-C or by `--for`. Where the readout is unplugged and
 * comes back, a new recording begins: nothing is joined across the gap.
 */
export async function traverseFromPort(
  store: Store,
  target: MachineAxis,
  options: TraverseOptions,
): Promise<void> {
  const { machine, axis } = target
  if (!options.save) {
    throw new UsageError(
      'live-is-kept',
      'A live recording is always kept.',
      'Leave --no-save out; `tablepace run drop` leaves a run out of fits.',
    )
  }
  const dial = requiredDial(options, axis)
  const path = options.port ?? ''
  const said = await liveSettings(options, target)
  const longestS = options.for === undefined ? null : parseDurationS(options.for, '--for')
  await showCautions(traverseOccasion(parseTags(options.tag)), options.yes === true, 'goes-on')
  const settings = await settingsAfterMove(store, target, options, said)

  const outcomes: TakeOutcome<Run>[] = []
  const display = new LiveDisplay(machine.unit)
  let end: (failure: TablepaceError | null) => void = () => {}
  const ended = new Promise<TablepaceError | null>((resolve) => {
    end = resolve
  })
  const recorder = new LiveRecorder(
    store,
    axis,
    { settings, origin: path, restS: SINGLE_RUN_REST_S },
    {
      onConclusions: (conclusions) => conclusions.forEach(say),
      onSample: (sample) => display.show(sample),
      onMotion: (event) => {
        if (event.kind === 'started') say(`Moving in direction ${event.direction === 1 ? '+' : '-'} …`)
        if (event.kind === 'stopped') end(null)
      },
      onFailure: end,
    },
  )
  const begin = (): void => {
    const conditions = conditionsFrom(options)
    // Runs of a segment before tell that the dial was not touched since.
    const untouched = outcomes.some((outcome) => outcome.runs.length > 0)
    recorder.begin(dial, untouched ? { ...conditions, dialReset: false } : conditions)
  }
  /** What fails in a callback of the port has no caller to tell; it ends the recording. */
  const orEnd = (work: () => void): void => {
    try {
      work()
    } catch (error) {
      if (!(error instanceof TablepaceError)) throw error
      end(error)
    }
  }
  const port = await openReconnectingReadout({
    path,
    ...portLink(options, settings.profile),
    waitS: waitS(options),
    onLine: (line) => recorder.line(line),
    onRejected: () => {},
    onLost: (loss) =>
      orEnd(() => {
        tellLoss(loss)
        outcomes.push(...[recorder.interrupt(nowIso())].filter((cut) => cut !== null))
      }),
    onBack: (awayS) =>
      orEnd(() => {
        tellBack(awayS)
        begin()
      }),
    onClose: end,
  })
  const stopListening = onInterrupt(() => end(null))
  let timer: NodeJS.Timeout | null = null
  let failure: TablepaceError | null = null
  try {
    begin()
    say(`Listening on ${path}: start the feed when ready. Ctrl-C ends.`)
    if (longestS !== null) timer = setTimeout(() => end(null), 1000 * longestS)
    failure = await ended
    clearStatus()
    ringBell()
    outcomes.push(...[recorder.interrupt(nowIso())].filter((last) => last !== null))
  } finally {
    stopListening()
    if (timer !== null) clearTimeout(timer)
    await port.close()
  }
  const told = worthTelling(outcomes)
  if (failure === null) return presentOutcomes(told, target, options)
  // What ended the recording explains more than what could not be read of it.
  presentOutcomes(
    told.map((outcome) => ({ ...outcome, failure })),
    target,
    options,
  )
  throw failure
}

/** Segments in which the table moved; the last one where it never did. */
function worthTelling(outcomes: readonly TakeOutcome<Run>[]): readonly TakeOutcome<Run>[] {
  const moved = outcomes.filter((outcome) => outcome.runs.length > 0)
  return moved.length > 0 ? moved : outcomes.slice(-1)
}

/** How live lines are to be read. */
export async function liveSettings(options: LineOptions, target: MachineAxis): Promise<ReadoutSettings> {
  const reading = await lineReading(options, target)
  return { ...reading, fromSpreadsheet: false, baudRate: portLink(options, reading.profile).baudRate }
}

/** Calls back at the first Ctrl-C instead of ending the program; returns a function that undoes it. */
export function onInterrupt(callback: () => void): () => void {
  process.once('SIGINT', callback)
  process.once('SIGTERM', callback)
  return () => {
    process.off('SIGINT', callback)
    process.off('SIGTERM', callback)
  }
}
