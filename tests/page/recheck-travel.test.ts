import { describe, expect, it } from 'vitest'
import { fitTables, RECHECK_TAG, recordStopwatchTakes } from '../../src/jobs/index.js'
import { QUILLFEN_MILL } from '../../src/simulation/index.js'
import { hasBrowser, openBrowser, openPage, PHONE, storeServedByProgram } from '../harness/browser.js'
import { handAtPage } from '../harness/live/hand-at-page.js'
import { playedTime } from '../harness/live/played-time.js'
import { readoutForTest } from '../harness/live/pty-readout.js'
import { expectAboveTheFold, expectInOrder, expectNotWide } from '../harness/page-state.js'

const MARKS = [5, 8]
/** How the runs of the table scatter, as shares of the feed. */
const SCATTER = [1.004, 0.997, 1.001]

describe.skipIf(!hasBrowser)('a recheck in travels with the knob turned on the way, on a phone', () => {
  it('tells the minutes, makes all runs of the recheck in two travels, and judges them', async () => {
    const time = playedTime()
    const device = readoutForTest({ time })
    const { store, axisId, served } = await storeServedByProgram(
      MARKS,
      time.env,
      '--readout-port',
      device.path,
    )
    const axis = store.axes.byId(axisId)
    const at = new Date().toISOString()
    const takes = SCATTER.flatMap((scatter) =>
      MARKS.map((dial) => {
        const distanceMm = QUILLFEN_MILL.curve(dial) / 2
        const entry = { distanceMm, durationS: 30 * scatter, direction: 1 as const, marks: null }
        return { dial, origin: 'test', entry, note: null }
      }),
    )
    recordStopwatchTakes(store, axis, takes, { dialReset: true, tags: {}, note: null, startedAt: at })
    fitTables(store, axis, { filter: {}, reason: null, fittedAt: at })

    const page = await openPage(await openBrowser(), PHONE, `${served.url}#/check`)
    const button = (name: string) => page.getByRole('button', { name })
    await page.getByLabel('What was done to the machine').fill('gibs adjusted')
    await page.getByLabel('How far a feed may have moved').fill('6')
    await page.getByRole('radio', { name: 'readout' }).check()
    await button('Plan the runs').tap()
    // Both ways tell their minutes before anything moves.
    await page.getByText(/one by one, about \d+ min/).waitFor()
    await page.getByRole('radio', { name: /turning the knob on the way, 2 travels, about \d+ min/ }).check()
    await page.getByLabel('Port', { exact: true }).fill(device.path)
    await page.getByText('Speed and profile').tap()
    await page.getByLabel('Speed, baud').selectOption('115200')
    await expectInOrder(page, 'recheck in travels')
    // What belongs to a run by itself is not offered for a travel.
    for (const text of ['Skip this run', 'Film this run instead', 'Make the last run again'])
      expect(await page.getByText(text).count(), text).toBe(0)
    await button('Connect').tap()
    await page.getByText('Following, not recording').waitFor()
    await button('Begin the travels').tap()
    // Nothing is recorded before the cautions are agreed to.
    await page.getByText('Spindle off').waitFor()
    expect(store.recordings.list(axisId).every(({ source }) => source === 'stopwatch')).toBe(true)
    await button('All clear').tap()
    await page.getByText('Recording: start the feed').waitFor()
    await expectAboveTheFold(page, page.locator('.instruction'), button('Stop recording'))

    const { steps } = store.sessions.inProgress(axisId)!.plan as { steps: { dial: number }[] }
    expect(steps.length).toBeGreaterThanOrEqual(4)
    const atPage = handAtPage(page, device, 6)
    const { cues, hand } = atPage
    while ((await page.getByText('All runs of this session are done.').count()) === 0) await atPage.second()
    expect(cues.filter((cue) => cue.startsWith('Set'))).toHaveLength(2)
    expect(cues.at(-1)).toMatch(/^STOP/)
    const made = store.runs.list(axisId, { tags: { [RECHECK_TAG]: 'gibs adjusted' } })
    expect(made.map(({ dial, accepted }) => ({ dial, accepted }))).toEqual(
      hand.held.map(({ dial }) => ({ dial, accepted: true })),
    )
    expect(made).toHaveLength(steps.length)
    await button('Judge these runs within 6 %').tap()
    await page.locator('.verdict').waitFor()
    await page.getByText('The table holds within 6 % from dial 5 to 8').first().waitFor()
    await expectNotWide(page, 'verdict')
    expect(store.history.rechecks(axisId)).toEqual([
      expect.objectContaining({
        verdict: 'holds',
        reason: 'gibs adjusted',
        runIds: made.map(({ id }) => id),
      }),
    ])
    expect(store.sessions.inProgress(axisId)).toBeNull()
  })
})
