import type { Page } from 'playwright-core'
import { QUILLFEN_MILL } from '../../../src/simulation/index.js'
import type { PtyReadout } from './pty-readout.js'
import { SweepingHand } from './sweeping-hand.js'

/** Whoever stands at the simulated mill and does what the page says, as it is said, in played time. */
export class HandAtPage {
  readonly hand: SweepingHand
  /** What the page said, in order. */
  readonly cues: string[] = []
  readonly #page: Page
  readonly #device: PtyReadout
  readonly #until: ReturnType<PtyReadout['startTime']>
  #playedS = 0

  constructor(page: Page, device: PtyReadout, seed: number) {
    this.#page = page
    this.#device = device
    this.hand = new SweepingHand(QUILLFEN_MILL, seed)
    this.#until = device.startTime()
  }

  /** Looks at the page, does what it says where that is new, and lets a second go by. */
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
    const [text] = await this.#page.locator('.instruction .set').allTextContents()
    const event = text === undefined ? null : eventOf(text)
    if (text === undefined || event === null || text === this.cues.at(-1)) return
    this.cues.push(text)
    this.hand.hear(event)
  }
}

/** An instruction as the person takes it. */
function eventOf(text: string): Parameters<SweepingHand['hear']>[0] | null {
  const dial = Number(/\d+/.exec(text)?.[0])
  if (/^Set/.test(text)) {
    const direction = text.includes('−') ? -1 : 1
    return { kind: 'sweep', cue: 'start', dial, direction }
  }
  if (/^Turn/.test(text)) return { kind: 'sweep', cue: 'turn', dial, knownMmPerMin: 0 }
  if (/^STOP/.test(text)) return { kind: 'sweep', cue: 'stop', because: 'all-known', known: 0 }
  return null
}
