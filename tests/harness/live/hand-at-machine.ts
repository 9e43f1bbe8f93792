import { QUILLFEN_MILL } from '../../../src/simulation/index.js'
import type { PtyReadout } from './pty-readout.js'
import { SweepingHand } from './sweeping-hand.js'

/** Whoever stands at the simulated mill and does what a face of the program says, as it is said, in played time. */
export class HandAtMachine {
  readonly hand: SweepingHand
  /** What the program said, in order. */
  readonly cues: string[] = []
  readonly #device: PtyReadout
  readonly #shown: () => Promise<string | undefined>
  readonly #until: ReturnType<PtyReadout['startTime']>
  #playedS = 0

  /** @param shown the instruction that is to be seen now, such as "Set 3 in direction -", "Turn to 5" or "STOP" */
  constructor(device: PtyReadout, seed: number, shown: () => Promise<string | undefined>) {
    this.#device = device
    this.#shown = shown
    this.hand = new SweepingHand(QUILLFEN_MILL, seed)
    this.#until = device.startTime()
  }

  /** Looks at what is said, does it where it is new, and lets a second go by. */
  async second(): Promise<void> {
    await this.#look()
    const lines: { atS: number; line: string }[] = []
    this.hand.play(
      1,
      (byS) => {
        this.#playedS += byS
      },
      (line) => lines.push({ atS: this.#playedS, line }),
      () => false,
    )
    for (const { atS, line } of lines) {
      await this.#until(atS)
      this.#device.write(`${line}\r\n`)
    }
    await this.#device.heard()
  }

  async #look(): Promise<void> {
    const text = await this.#shown()
    const event = text === undefined ? null : eventOf(text)
    if (text === undefined || event === null || text === this.cues.at(-1)) return
    this.cues.push(text)
    this.hand.hear(event)
  }
}

/** An instruction as the person takes it. */
function eventOf(text: string): Parameters<SweepingHand['hear']>[0] | null {
  const dial = Number(/[\d.]+/.exec(text)?.[0])
  if (/^Set/i.test(text)) {
    const direction = /−|direction -/.test(text) ? -1 : 1
    return { kind: 'sweep', cue: 'start', dial, direction }
  }
  if (/^Turn/i.test(text)) return { kind: 'sweep', cue: 'turn', dial, knownMmPerMin: 0 }
  if (/^STOP/.test(text)) return { kind: 'sweep', cue: 'stop', because: 'all-known', known: 0 }
  return null
}
