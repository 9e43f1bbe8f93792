import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { openStore } from '../../src/store/index.js'
import { hasBrowser, LAPTOP, openBrowser, openPage, seriousFindings } from '../harness/browser.js'
import { makeRun } from '../harness/make-run.js'
import { playedTime } from '../harness/played-time.js'
import { temporaryFolder } from '../harness/program.js'
import { readoutForTest } from '../harness/pty-readout.js'
import { serveProgramIn } from '../harness/serve-program.js'

describe.skipIf(!hasBrowser)('the whole job beside a readout', () => {
  it('goes from an empty store to a printed card, a recheck and an export without a terminal', async () => {
    const time = playedTime()
    const device = readoutForTest({ time })
    const path = join(temporaryFolder(), 'store.db')
    const served = await serveProgramIn(time.env, path, '--readout-port', device.path)
    const browser = await openBrowser()
    const page = await openPage(browser, LAPTOP, served.url)
    const goTo = (place: string) =>
      page.getByRole('navigation', { name: 'Places' }).getByRole('link', { name: place }).click()

    await page.getByLabel('Machine name').fill('Bench')
    await page.getByLabel('Travel').fill('21in')
    await page.getByLabel('Marks').fill('9')
    await page.getByRole('button', { name: 'Add machine' }).click()
    await page.getByRole('heading', { name: 'Feeds of X' }).waitFor()
    const store = openStore(path, { mode: 'read' })
    const [{ id: axisId } = { id: 0 }] = store.axes.list(store.machines.byName('Bench').id)

    await goTo('Measure')
    await page.getByRole('radio', { name: 'readout' }).check()
    await page.getByText('Change how').click()
    await page.getByRole('radio', { name: /All marks twice/ }).check()
    await page.getByRole('button', { name: 'Begin' }).click()
    await page.getByText('0 of 4 runs').waitFor()
    expect(await seriousFindings(page)).toEqual([])
    await page.getByLabel('Port', { exact: true }).fill(device.path)
    await page.getByText('Speed and profile').click()
    await page.getByLabel('Speed, baud').selectOption('115200')
    await page.getByRole('button', { name: 'Connect' }).click()
    await page.getByText('Following, not recording').waitFor()
    // Nothing is recorded before the cautions are agreed to.
    await page.getByRole('button', { name: 'Go on with the session' }).click()
    await page.getByText('Spindle off').waitFor()
    expect(store.recordings.list(axisId)).toHaveLength(0)
    await page.getByRole('button', { name: 'All clear' }).click()
    const truths = []
    for (const [index, direction] of ([1, -1, 1, -1] as const).entries()) {
      await page.getByText(`Run ${index + 1} of 4`).waitFor()
      truths.push(await makeRun(page, device, { dial: 9, direction, seed: 40 + index, travelS: 10.5 }))
    }
    await page.getByText('All runs of this session are done.').waitFor()
    const runs = store.runs.list(axisId).filter((run) => run.accepted)
    expect(runs.map((run) => run.direction)).toEqual([1, -1, 1, -1])
    for (const [index, run] of runs.entries()) {
      // In played time; how well a real host stamps is tested elsewhere.
      expect(Math.abs(run.feed!.feedMmPerMin / truths[index]!.runFeedMmPerMin - 1)).toBeLessThan(0.002)
    }
    expect(await seriousFindings(page)).toEqual([])
    // A readout that says nothing has no figures.
    const readings = page.locator('.readings dd')
    await expect.poll(() => readings.first().textContent()).toMatch(/in$/)
    await device.startTime()(6)
    await page.getByText('The readout says nothing just now').waitFor()
    await expect.poll(() => readings.allTextContents()).toEqual(['–', '–'])

    await page.getByRole('button', { name: 'Fit the table' }).click()
    await page.getByText('Dial 9 gives').waitFor()
    expect(store.sessions.inProgress(axisId)).toBeNull()
    expect(store.tables.list(axisId).map((table) => table.reason)).toEqual([
      'calibration: quick',
      'calibration: quick',
    ])
    expect(await seriousFindings(page)).toEqual([])
    await page.getByRole('link', { name: 'Card' }).click()
    await page.locator('.sheet text', { hasText: 'Bench · X: where to set the dial' }).waitFor()
    const pdf = await page.pdf({ format: 'A4' })
    expect(pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)).toHaveLength(1)

    await goTo('Check')
    await page.getByLabel('What was done to the machine').fill('belt changed')
    await page.getByRole('button', { name: 'Plan the runs' }).click()
    await page.getByText('Run 1 of').waitFor()
    await page.getByRole('button', { name: 'Go on with the session' }).click()
    await page.getByRole('button', { name: 'All clear' }).click()
    const { steps } = store.sessions.inProgress(axisId)!.plan as { steps: { direction: 1 | -1 }[] }
    for (const [index, { direction }] of steps.entries()) {
      await page.getByText(`Run ${index + 1} of`).waitFor()
      await makeRun(page, device, { dial: 9, direction, seed: 60 + index, travelS: 20.5 })
    }
    await page.getByText('All runs of this session are done.').waitFor()
    await page.getByRole('button', { name: 'Judge these runs within 3 %' }).click()
    await page.locator('.verdict').waitFor()
    expect(store.history.rechecks(axisId).map(({ reason }) => reason)).toEqual(['belt changed'])
    expect(await seriousFindings(page)).toEqual([])

    await goTo('Machine')
    await page.getByRole('link', { name: 'Files' }).click()
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Table document' }).click(),
    ])
    expect(download.suggestedFilename()).toMatch(/\.json$/)
    store.close()
  })
})
