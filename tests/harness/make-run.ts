import type { Page } from 'playwright-core'
import type { RunTruth } from '../../src/simulation/index.js'
import { playRun } from './live/play-run.js'
import type { PtyReadout } from './live/pty-readout.js'

/** Makes a traverse in played time and waits until the page tells its run. */
export async function makeRun(
  page: Page,
  device: PtyReadout,
  run: {
    readonly dial: number
    readonly direction: 1 | -1
    readonly seed: number
    readonly travelS: number
    readonly meanwhile?: { readonly atS: number; readonly work: () => Promise<void> }
  },
): Promise<RunTruth> {
  const truth = await playRun(device, { ...run, restAfterS: 5 })
  const sign = run.direction === 1 ? '+' : '−'
  await page.locator('.take .strong', { hasText: `Dial ${run.dial} ${sign}` }).waitFor()
  return truth
}
