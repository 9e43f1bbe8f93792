import { HandAtMachine } from './hand-at-machine.js'
import type { PtyReadout } from './pty-readout.js'
import type { TerminalSession } from './terminal.js'

/** A cue as the terminal shows it in large type; the first is followed by the direction to feed in. */
const CUES = />>>\s+(SET \S+(?=\s+<<<[^>]*?(direction [+-]))|TURN TO \S+|STOP)/g

/** Whoever does what the program says on the terminal. */
export function handAtTerminal(terminal: TerminalSession, device: PtyReadout, seed: number): HandAtMachine {
  return new HandAtMachine(device, seed, async () => {
    const [, cue, direction] = [...terminal.screen().matchAll(CUES)].at(-1) ?? []
    return direction === undefined ? cue : `${cue} ${direction}`
  })
}
