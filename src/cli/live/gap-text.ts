import type { ReadoutLoss } from '../../ingest/index.js'
import { parseDurationS } from '../../units/index.js'
import { clearStatus, paint, ringBell, say } from '../terminal/terminal.js'
import type { LineOptions } from '../traverse/options.js'

/** How long a lost port is waited for, s. @throws UsageError as `parseDurationS` does */
export function waitS(options: Pick<LineOptions, 'wait'>): number {
  return parseDurationS(options.wait, '--wait')
}

/** Says that the lines stopped, what that means for the traverse, and how long they are waited for. */
export function tellLoss(loss: ReadoutLoss): void {
  clearStatus()
  ringBell()
  const what =
    loss.kind === 'port'
      ? `${loss.error.message} Waiting up to ${Math.round(loss.waitS)} s for it to come back; Ctrl-C ends.`
      : `This computer or program stood still for ${loss.stoodS.toFixed(1)} s, so the arrival times are lost.`
  say(paint('yellow', `${what} A traverse in progress ends here.`))
}

/** Says that the readout is there again. */
export function tellBack(awayS: number): void {
  say(`The readout is back after ${awayS.toFixed(1)} s; a new recording begins: repeat the traverse.`)
}
