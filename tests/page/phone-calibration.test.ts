import { setTimeout as sleep } from 'node:timers/promises'
import { describe, expect, it, onTestFinished } from 'vitest'
import { servePage } from '../../src/page/index.js'
import { hasBrowser, openBrowser, openPage, PHONE, servedStore } from '../harness/browser.js'

describe.skipIf(!hasBrowser)('a whole calibration by stopwatch on a phone', () => {
  it('leads from mark to mark by taps, fits at the end, and takes up where the program was stopped', async () => {
    const { store, axisId, served } = await servedStore([4])
    const browser = await openBrowser()
    const page = await openPage(browser, PHONE, `${served.url}#/plan`)
    await page.getByRole('radio', { name: /by stopwatch/ }).check()
    await page.getByRole('button', { name: 'Begin' }).tap()
    await page.getByText('0 of 6 runs').waitFor()
    await page.getByRole('button', { name: 'All clear' }).tap()
    const timeStep = async (step: number): Promise<void> => {
      await page.getByText(`Run ${step} of 6`).waitFor()
      await page.getByRole('button', { name: /^Start/ }).tap()
      // Longer than a thumb that bounces.
      await sleep(200)
      await page.getByRole('button', { name: /^Stop(?!ped)/ }).tap()
      await page.getByRole('button', { name: /^Keep/ }).tap()
    }
    for (const step of [1, 2, 3]) await timeStep(step)
    await page.getByText('Run 4 of 6').waitFor()

    // The program is stopped and started again on the same port: the page says that it has to be opened anew, keeps
    // what is on it, and is let in by the new address in the same tab.
    await served.close()
    await page.getByText('The connection is lost').waitFor()
    const again = await servePage(store, { port: Number(new URL(served.url).port), host: null })
    onTestFinished(() => again.close())
    await page.getByText('Open it anew by the address that the program shows').waitFor()
    await page.getByText('Run 4 of 6').waitFor()
    await page.goto(`${again.url}#/stopwatch`)
    await page.getByRole('button', { name: 'All clear' }).tap()
    await page.getByText('The connection is lost').waitFor({ state: 'hidden' })

    for (const step of [4, 5, 6]) await timeStep(step)
    await expect.poll(() => store.runs.list(axisId).length).toBe(6)
    await page.getByText('6 of 6 runs').waitFor()
    expect(await page.evaluate<number>('document.documentElement.scrollWidth')).toBeLessThanOrEqual(360)
    await page.getByRole('button', { name: 'Fit the table' }).tap()
    await page.getByRole('heading', { name: 'Feeds of X' }).waitFor()
    expect(store.tables.list(axisId).map(({ direction, runs }) => [direction, runs])).toEqual([
      [1, 3],
      [-1, 3],
    ])
    expect(store.sessions.inProgress(axisId)).toBeNull()
    expect(await page.evaluate<number>('document.documentElement.scrollWidth')).toBeLessThanOrEqual(360)
  })
})
