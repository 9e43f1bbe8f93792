import { describe, expect, it } from 'vitest'
import {
  hasBrowser,
  LAPTOP,
  openBrowser,
  openPage,
  seriousFindings,
  storeServedByProgram,
} from '../harness/browser.js'
import { makeRun } from '../harness/make-run.js'
import { playedTime } from '../harness/played-time.js'
import { readoutForTest } from '../harness/pty-readout.js'

describe.skipIf(!hasBrowser)('the page beside a readout', () => {
  it('leads through a whole calibration by clicks, tells each run as it ends, and looks up from the table', async () => {
    const time = playedTime()
    const device = readoutForTest({ time })
    const { store, axisId, served } = await storeServedByProgram([9], time.env, '--readout-port', device.path)
    const browser = await openBrowser()
    const page = await openPage(browser, LAPTOP, `${served.url}#/plan`)

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
    await page.getByRole('button', { name: 'Fit the table' }).click()
    await page.getByRole('heading', { name: 'Feeds of X' }).waitFor()
    await page.getByText('Dial 9 gives').waitFor()
    expect(store.sessions.inProgress(axisId)).toBeNull()
    expect(store.tables.list(axisId).map((table) => table.reason)).toEqual([
      'calibration: quick',
      'calibration: quick',
    ])
    expect(await seriousFindings(page)).toEqual([])
  })
})
