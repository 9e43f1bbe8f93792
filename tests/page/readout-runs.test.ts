import { describe, expect, it } from 'vitest'
import { axeFindings } from '../harness/axe.js'
import { hasBrowser, LAPTOP, openBrowser, openPage, PHONE, storeServedByProgram } from '../harness/browser.js'
import { playedTime } from '../harness/live/played-time.js'
import { readoutForTest } from '../harness/live/pty-readout.js'
import { makeRun } from '../harness/make-run.js'

describe.skipIf(!hasBrowser)('single runs on the page', () => {
  it('records single runs on a phone, shows position and speed, and keeps a run that is left out in the store', async () => {
    // Before the readout: a child that were started later would hold its cable.
    const browser = await openBrowser()
    const time = playedTime()
    const device = readoutForTest({ time })
    const { store, axisId, served } = await storeServedByProgram(
      [4, 8],
      time.env,
      '--readout-port',
      device.path,
    )
    const page = await openPage(browser, PHONE, `${served.url}#/record`)

    await page.getByLabel('Port', { exact: true }).fill(device.path)
    await page.getByText('Speed and profile').tap()
    await page.getByLabel('Speed, baud').selectOption('115200')
    await page.getByRole('button', { name: 'Connect' }).tap()
    await page.getByRole('button', { name: '8', exact: true }).tap()
    await page.getByRole('button', { name: 'Record this run' }).tap()
    await page.getByRole('button', { name: 'All clear' }).tap()
    await page.getByText('start the feed when ready').waitFor()
    const second = await openPage(browser, LAPTOP, `${served.url}#/record`)
    const whileItMoves = async (): Promise<void> => {
      await page.getByText('the table moves').waitFor()
      const speed = page.locator('.readings dd').nth(1)
      await expect.poll(async () => Number.parseFloat((await speed.textContent()) ?? '')).toBeGreaterThan(5)
      // A second page sees the same, though it comes in the middle.
      await second.reload()
      await second.getByText('Recording', { exact: false }).first().waitFor()
    }
    const run = { dial: 8, direction: 1, seed: 31, travelS: 4 } as const
    await makeRun(page, device, { ...run, meanwhile: { atS: 4, work: whileItMoves } })
    await second.locator('.take .strong', { hasText: 'Dial 8 +' }).waitFor()
    expect(await axeFindings(page)).toEqual([])
    // Nothing is wider than the screen.
    expect(await page.evaluate<number>('document.documentElement.scrollWidth')).toBeLessThanOrEqual(360)
    await page
      .locator('.take')
      .getByRole('button', { name: /Leave out/ })
      .tap()
    await page
      .locator('.take')
      .getByRole('button', { name: /Put back/ })
      .waitFor()
    expect(store.runs.list(axisId).at(-1)).toMatchObject({
      accepted: true,
      dropReason: 'by hand, on the page',
    })

    device.vanish()
    await page.getByText('Waiting up to 60 s for it to come back').waitFor()
    await page.getByRole('button', { name: 'Disconnect' }).tap()
    await page.getByRole('button', { name: 'Connect' }).waitFor()
  })
})
