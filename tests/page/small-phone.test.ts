import { describe, expect, it } from 'vitest'
import { hasBrowser, openBrowser, openPage, PHONE, servedStore } from '../harness/browser.js'
import { pageApi } from '../harness/page-api.js'
import { openView } from '../harness/page-state.js'

/** The smallest screen that the page is made for. */
const SMALL = { width: 360, height: 640 }

describe.skipIf(!hasBrowser)('the page on a small phone', () => {
  it('shows the first caution with the buttons, waits with what was timed, and says what a run that is left out is', async () => {
    const { axisId, served } = await servedStore([4, 8])
    await pageApi(served).tell('session/begin', { axisId, procedure: 'stopwatch' })
    const page = await openPage(await openBrowser(), PHONE, `${served.url}#/stopwatch`)
    await page.setViewportSize(SMALL)
    await page.reload()
    const dialog = page.getByRole('dialog', { name: 'Before the table moves' })
    for (const part of [
      dialog.getByText(/^Spindle off/),
      dialog.getByRole('button', { name: 'All clear' }),
    ]) {
      await part.waitFor()
      const { y, height } = (await part.boundingBox())!
      expect(y).toBeGreaterThan(0)
      expect(y + height).toBeLessThanOrEqual(SMALL.height)
    }
    await dialog.getByRole('button', { name: 'All clear' }).tap()

    await page.context().setOffline(true)
    await page.getByRole('button', { name: /^Start/ }).tap()
    const elapsed = page.locator('.elapsed')
    await expect.poll(async () => Number.parseFloat((await elapsed.textContent())!)).toBeGreaterThan(0.3)
    await page.getByRole('button', { name: /^Stop(?!ped)/ }).tap()
    await page.getByRole('button', { name: /^Keep/ }).tap()
    // The step is still shown, and the page says why.
    await page.getByText('The computer names the next run once it has this one.').waitFor()
    await page.context().setOffline(false)
    const take = page.locator('.take')
    await take.getByText('the timing error alone is ±').waitFor()
    const [, half] = /(± [\d.]+ %) for this run/.exec((await take.textContent())!)!
    expect(await take.getByText(`the timing error alone is ${half}.`).count()).toBe(1)
    expect(await page.locator('.runs .feed').first().textContent()).toContain(half)
    await take.getByRole('button', { name: /^Leave out/ }).tap()
    await take.getByText('left out: by hand').waitFor()
    expect(await take.getByText('the timing error alone is').count()).toBe(0)
    // Its step comes again, counted as the runs that are done.
    await page.getByText(/^Run 1 of 12$/).waitFor()
    expect(await page.locator('.progress').textContent()).toMatch(/^0 of 12 runs/)

    // It is nothing to the session that comes next.
    await page.getByRole('button', { name: /^End this session/ }).tap()
    await page.getByRole('heading', { name: 'Single runs' }).waitFor()
    await expect.poll(() => take.count()).toBe(0)

    // As at an address in the network, which no browser keeps the screen on for: said before a timing that it would spoil.
    await openView(page, 'look-up')
    await page.evaluate('delete Navigator.prototype.wakeLock')
    await openView(page, 'measure/stopwatch')
    await page.getByText('set a long screen timeout on the phone').waitFor()
    await page.getByRole('button', { name: /^Start/ }).waitFor()

    // What a form comes to stands below it, and is brought into sight.
    await openView(page, 'machine/advice')
    await page.getByLabel('Feed, in/min').fill('7')
    await page.getByLabel('Step of the readout').fill('0.0005')
    await page.getByRole('button', { name: 'Work it out' }).tap()
    const result = page.locator('[role=status] .strong').first()
    await result.waitFor()
    const bottom = async (): Promise<number> => {
      const { y, height } = (await result.boundingBox())!
      return y + height
    }
    await expect.poll(bottom).toBeLessThanOrEqual(SMALL.height)
  })
})
