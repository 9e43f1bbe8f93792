import type { Page } from 'playwright-core'
import { HandAtMachine } from './hand-at-machine.js'
import type { PtyReadout } from './pty-readout.js'

/** Whoever does what the page says. */
export function handAtPage(page: Page, device: PtyReadout, seed: number): HandAtMachine {
  return new HandAtMachine(
    device,
    seed,
    async () => (await page.locator('.instruction .set').allTextContents())[0],
  )
}
