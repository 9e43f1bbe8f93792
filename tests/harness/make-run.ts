import type { Page } from 'playwright-core'
import type { RunTruth } from '../../src/simulation/index.js'
import { playRun } from './play-run.js'
import type { PtyReadout } from './pty-readout.js'

/** So long the page may take to tell a run whose table has come to rest, ms. */
const TOLD_WITHIN_MS = 15_000
const ATTEMPTS = 3

/**
 * Makes a traverse and waits until the page tells its run. On a machine that stalls for a second while it plays, stamps
 * and draws at once, the program rightly refuses the run: then it is made again, as one would at the mill.
 */
export async function makeRun(
  page: Page,
  device: PtyReadout,
  run: { readonly dial: number; readonly direction: 1 | -1; readonly seed: number; readonly travelS: number },
): Promise<RunTruth> {
  const told = page.locator('.take .strong', {
    hasText: `Dial ${run.dial} ${run.direction === 1 ? '+' : '−'}`,
  })
  const again = page.getByRole('button', { name: 'Record this run' })
  for (let attempt = 1; ; attempt += 1) {
    const over = new AbortController()
    const played = playRun(device, { ...run, restAfterS: 25, signal: over.signal })
    const seen = await told.waitFor({ timeout: run.travelS * 1000 + TOLD_WITHIN_MS }).then(
      () => null,
      (error: unknown) => error,
    )
    over.abort()
    const truth = await played
    if (seen === null) return truth
    if (attempt === ATTEMPTS) throw seen
    if (await again.isVisible()) await again.click()
  }
}
