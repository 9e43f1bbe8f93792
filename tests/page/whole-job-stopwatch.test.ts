import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import type { Page } from 'playwright-core'
import { describe, expect, it } from 'vitest'
import { openStore } from '../../src/store/index.js'
import { hasBrowser, openBrowser, openPage, PHONE, seriousFindings } from '../harness/browser.js'
import { temporaryFolder } from '../harness/program.js'
import { serveProgram } from '../harness/serve-program.js'

/** The table of this job, in/s. It moves evenly, whatever holds up the test or the program between two presses. */
const FEED_IN_PER_S = 3

/** Two taps: start and stop. The pause is longer than a thumb that bounces. */
async function startAndStop(page: Page): Promise<void> {
  await page.getByRole('button', { name: /^Start/ }).tap()
  await sleep(200)
  await page.getByRole('button', { name: /^Stop(?!ped)/ }).tap()
}

/** The lines lie where the table was at the presses, so that the runs agree; the third tap keeps the timing. */
async function keep(page: Page): Promise<void> {
  const seconds = await page.evaluate(() => {
    const { presses } = JSON.parse(localStorage.getItem('tablepace.presses')!)
    return presses.at(-1).timeS - presses[0].timeS
  })
  await page.getByLabel('Distance between the lines').fill((seconds * FEED_IN_PER_S).toFixed(3))
  await page.getByRole('button', { name: /^Keep/ }).tap()
}

async function timeOnce(page: Page): Promise<void> {
  await startAndStop(page)
  await keep(page)
}

async function isAboveTheFold(page: Page, ...parts: ReturnType<Page['locator']>[]): Promise<void> {
  await page.evaluate('scrollTo(0, 0)')
  for (const part of parts) {
    const box = (await part.boundingBox())!
    expect(box.y + box.height).toBeLessThanOrEqual(PHONE.viewport.height)
  }
}

describe.skipIf(!hasBrowser)('the whole job by stopwatch on a phone', () => {
  it('goes from an empty store to a printed card, a recheck and an export without a terminal', async () => {
    const path = join(temporaryFolder(), 'store.db')
    const first = await serveProgram(path)
    const browser = await openBrowser()
    const page = await openPage(browser, PHONE, first.url)
    const goTo = (place: string) =>
      page.getByRole('navigation', { name: 'Places' }).getByRole('link', { name: place }).tap()
    const narrow = async (): Promise<void> =>
      expect(await page.evaluate<number>('document.documentElement.scrollWidth')).toBeLessThanOrEqual(360)

    await page.getByLabel('Machine name').fill('Bench <1>')
    await page.getByLabel('Units').selectOption('in')
    await page.getByLabel('Axis name').fill('X')
    await page.getByLabel('Travel').fill('21')
    await page.getByLabel('Lowest number').fill('0')
    await page.getByLabel('Highest number').fill('10')
    await page.getByLabel('Marks').fill('4')
    expect(await seriousFindings(page)).toEqual([])
    await page.getByRole('button', { name: 'Add machine' }).tap()
    await page.getByRole('link', { name: 'Time the first runs' }).tap()
    await page.getByText('Change how').tap()
    await page.getByRole('radio', { name: /by stopwatch/ }).check()
    await page.getByRole('button', { name: 'Begin' }).tap()
    await page.getByRole('button', { name: 'All clear' }).tap()
    await page.getByText('0 of 6 runs').waitFor()
    // Begun far down the page, and shown from the top.
    await expect.poll(() => page.evaluate<number>('scrollY')).toBe(0)
    await isAboveTheFold(page, page.locator('.instruction'), page.getByRole('button', { name: /^Start/ }))
    expect(await seriousFindings(page)).toEqual([])
    for (const run of [1, 2]) {
      await page.getByText(`Run ${run} of 6`).waitFor()
      await timeOnce(page)
    }
    await page.getByText('Run 3 of 6').waitFor()

    // A second page times the same run; each timing stays with the step that it was begun for.
    const other = await openPage(browser, PHONE, `${first.url}#/measure`)
    await other.getByRole('button', { name: 'All clear' }).tap()
    for (const one of [page, other]) await startAndStop(one)
    await keep(page)
    await page.getByText('Run 4 of 6').waitFor()
    await other.getByText('Run 3 of 6').waitFor()
    await keep(other)
    await other.getByText('Run 3 was timed on another page').waitFor()
    await other.context().close()

    // The program dies while the watch runs, and is started again on its port: nothing is lost, and nothing covers Stop.
    await page.getByRole('button', { name: /^Start/ }).tap()
    await first.kill()
    await page.getByText('The connection is lost').waitFor()
    const again = await serveProgram(path, '--port', new URL(first.url).port)
    await page.getByText('Open it again by the address that the program shows').waitFor()
    await page.goto(`${again.url}#/measure`)
    await page.getByText('The connection is lost').waitFor({ state: 'hidden' })
    await page.getByRole('button', { name: /^Stop(?!ped)/ }).tap()
    await keep(page)
    for (const run of [5, 6]) {
      await page.getByText(`Run ${run} of 6`).waitFor()
      await timeOnce(page)
    }
    // It does not end by itself, and says so.
    await page.getByText('All runs of this session are done').waitFor()
    await narrow()
    await page.getByRole('button', { name: 'Fit the table' }).tap()

    // Looked up with one tap and the digits.
    await page.getByRole('heading', { name: 'Feeds of X' }).waitFor()
    await page.getByRole('textbox', { name: 'Dial' }).tap()
    await page.keyboard.type('4')
    await page.getByText('Dial 4 gives').waitFor()
    await narrow()
    const store = openStore(path, { mode: 'read' })
    const [{ id: axisId } = { id: 0 }] = store.axes.list(store.machines.list()[0]!.id)
    expect(store.tables.list(axisId).map(({ direction, runs }) => [direction, runs])).toEqual([
      [1, 4],
      [-1, 3],
    ])
    expect(store.runs.list(axisId).map(({ dial, step }) => [dial, step])).toEqual(
      [1, 2, 3, 3, 4, 5, 6].map((step) => [4, step]),
    )
    expect(store.sessions.inProgress(axisId)).toBeNull()

    await page.getByRole('link', { name: 'Card' }).tap()
    await page.getByRole('button', { name: 'Print on one sheet' }).waitFor()
    await narrow()
    expect(await seriousFindings(page)).toEqual([])
    const pdf = await page.pdf({ format: 'A4' })
    expect(pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)).toHaveLength(1)

    // A recheck begins with three taps and its reason.
    await goTo('Check')
    await page.getByLabel('What was done to the machine').fill('gibs adjusted')
    expect(await seriousFindings(page)).toEqual([])
    await page.getByRole('button', { name: 'Plan the runs' }).tap()
    await page.getByText('Run 1 of').waitFor()
    await page.getByRole('button', { name: 'All clear' }).tap()
    const runs = store.sessions.inProgress(axisId)!.plan as { readonly steps: readonly unknown[] }
    for (const [index] of runs.steps.entries()) {
      await page.getByText(`Run ${index + 1} of`).waitFor()
      await timeOnce(page)
    }
    await page.getByRole('button', { name: 'Judge these runs within 3 %' }).tap()
    await page.locator('.verdict').waitFor()
    const headline = await page.locator('.notice .strong').textContent()
    await page.reload()
    expect(await page.locator('.notice .strong').textContent()).toBe(headline)
    expect(await seriousFindings(page)).toEqual([])
    await narrow()

    await goTo('Machine')
    await page.getByRole('link', { name: 'Files' }).tap()
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'CSV' }).tap(),
    ])
    expect(download.suggestedFilename()).toMatch(/\.csv$/)
    store.close()
  })
})
