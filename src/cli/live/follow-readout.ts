import type { TablepaceError } from '../../errors/index.js'
import { type LiveEvent, LiveSession, type ReadoutSettings } from '../../jobs/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { otherAxisText } from '../../words/index.js'
import { portLink } from '../readout/port-link.js'
import { say } from '../terminal/terminal.js'
import { settingsAfterMove } from '../traverse/known-move.js'
import { type LineOptions, lineReading } from '../traverse/options.js'
import { tellBack, tellLoss, waitS } from './gap-text.js'
import { LiveDisplay } from './live-display.js'

/** A live session that a command follows until it ends. */
interface FollowedReadout {
  readonly live: LiveSession
  /** Ends the following; what was under way is still to be ended by closing `live`. */
  readonly end: (failure: TablepaceError | null) => void
  /** Resolves when the work is done or `end` was called, with what made it fail. */
  readonly ended: Promise<TablepaceError | null>
}

/**
 * Opens the port of a command and shows what is the same for all: position and speed in place, what was concluded of the
 * lines, the loss of the readout and its return.
 *
 * @param told is called with every event, after it is shown
 * @throws DeviceError as `openReadout` does
 */
export async function followReadout(
  store: Store,
  target: MachineAxis,
  options: LineOptions & { readonly port?: string },
  told: (event: LiveEvent) => void,
): Promise<FollowedReadout> {
  const display = new LiveDisplay(target.axis.unit)
  let end: FollowedReadout['end'] = () => {}
  const ended = new Promise<TablepaceError | null>((resolve) => {
    end = resolve
  })
  const settings = await settingsAfterMove(store, target, options, await liveSettings(options, target))
  const source = {
    path: options.port ?? '',
    link: portLink(options, settings.profile),
    settings,
    waitS: waitS(options),
  }
  const live = await LiveSession.open(store, target.axis, source, (event) => {
    show(event, display)
    told(event)
    if (event.kind === 'done') end(null)
    if (event.kind === 'failed' || event.kind === 'closed') end(event.error)
  })
  return { live, end, ended }
}

function show(event: LiveEvent, display: LiveDisplay): void {
  if (event.kind === 'sample') display.show(event.sample)
  else if (event.kind === 'silent') display.silent(event.silentS)
  else if (event.kind === 'conclusions') event.sentences.forEach(say)
  else if (event.kind === 'other-axis') say(otherAxisText(event.other, event.axis))
  else if (event.kind === 'lost') tellLoss(event.loss)
  else if (event.kind === 'back') tellBack(event.awayS)
  else if (event.kind === 'listening') display.label = '  waiting'
  else if (event.kind === 'moving') display.label = '  moving'
  else if (event.kind === 'stopped') display.label = '  at rest'
}

/** How live lines are to be read. */
async function liveSettings(options: LineOptions, target: MachineAxis): Promise<ReadoutSettings> {
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
