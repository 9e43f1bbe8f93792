import { describe, expect, it, onTestFinished } from 'vitest'
import { hasBrowser, openBrowser, openPage, PHONE, storeServedByProgram } from '../harness/browser.js'
import { handAtPage } from '../harness/live/hand-at-page.js'
import { playedTime } from '../harness/live/played-time.js'
import { readoutForTest } from '../harness/live/pty-readout.js'
import { expectAboveTheFold, expectInOrder, expectNotWide, openView } from '../harness/page-state.js'

const MARKS = [3, 5]

describe.skipIf(!hasBrowser)('many settings in one travel, on a phone', () => {
  it('says what to turn to and when to stop until every mark has its runs; travels until it is good enough can be stopped and given up', async () => {
    const browser = await openBrowser()
    const time = playedTime()
    const device = readoutForTest({ time })
    const { store, axisId, served } = await storeServedByProgram(
      MARKS,
      time.env,
      '--readout-port',
      device.path,
    )
    const page = await openPage(browser, PHONE, `${served.url}#/measure`)
    // What the phone is asked to shake, from every load on.
    const shaking = await page.addInitScript(() => {
      const { navigator } = globalThis as unknown as { navigator: { vibrate: unknown; shaken: number[][] } }
      navigator.shaken = []
      navigator.vibrate = (shake: number[]) => navigator.shaken.push(shake)
    })
    onTestFinished(() => shaking.dispose())

    await page.getByRole('radio', { name: 'readout' }).check()
    await page.getByText('Change how').tap()
    await page.getByRole('radio', { name: /^Many settings in one travel/ }).check()
    await page.getByText('about 8 runs').first().waitFor()
    // The time is told for what is asked: one direction alone takes half the runs.
    await page.getByRole('radio', { name: /plus/ }).check()
    await page.getByText('about 4 runs').first().waitFor()
    await page.getByRole('button', { name: 'Begin' }).tap()
    await page.getByLabel('Port', { exact: true }).fill(device.path)
    await page.getByText('Speed and profile').tap()
    await page.getByLabel('Speed, baud').selectOption('115200')
    await expectNotWide(page, 'travels without a readout')
    await page.getByRole('button', { name: 'Connect' }).tap()
    const begin = page.getByRole('button', { name: 'Begin the travels' })
    await page.getByText('Following, not recording').waitFor()
    await expectAboveTheFold(page, page.locator('.instruction'), begin)
    await begin.tap()
    await page.getByRole('button', { name: 'All clear' }).tap()
    await page.getByText('Recording: start the feed').waitFor()
    const stop = page.getByRole('button', { name: 'Stop recording' })
    await expectAboveTheFold(page, page.locator('.instruction'), stop)

    // Whoever stands at the machine does what the page says, as it is said.
    const atPage = handAtPage(page, device, 5)
    const { hand, cues } = atPage
    while (cues.length < 2) await atPage.second()
    await expectAboveTheFold(page, page.locator('.instruction'), stop)
    await expectInOrder(page, 'turn to the next')
    // What to turn to is still there when the page is loaded again.
    await page.reload()
    await page.getByText(cues[1]!).waitFor()
    while ((await page.getByText('All runs are made.').count()) === 0) await atPage.second()
    const plus = ['Set 3 feed + direction plus', 'Turn to 5', 'STOP']
    expect(cues.map(oneLine)).toEqual([...plus, ...plus])
    await expectInOrder(page, 'all runs made')
    const shaken = await page.evaluate(
      () => (globalThis as unknown as { navigator: { shaken: number[][] } }).navigator.shaken,
    )
    expect(shaken).toContainEqual([600, 150, 600])
    await page.getByRole('button', { name: 'Make the table' }).tap()
    await page.getByText('Dial 4 gives').waitFor()
    expect(store.tables.list(axisId).map((table) => table.reason)).toEqual([
      'calibration: many settings in one travel',
    ])
    const runs = store.runs.list(axisId).filter((run) => run.accepted)
    expect(runs.map(({ dial, direction }) => ({ dial, direction }))).toEqual(
      hand.held.map(({ dial, direction }) => ({ dial, direction })),
    )
    for (const [index, { feed }] of runs.entries()) {
      expect(Math.abs(feed!.feedMmPerMin / hand.held[index]!.feedMmPerMin - 1)).toBeLessThan(0.005)
    }

    // Travels until the other direction is good enough are begun, stopped, and given up.
    await openView(page, 'measure')
    await page.getByText('Change how').tap()
    await page.getByRole('radio', { name: /^By travels until the table is good enough/ }).check()
    await page.getByLabel('How well the feeds should be known').fill('20')
    await page.getByRole('radio', { name: 'minus', exact: true }).check()
    await page.getByRole('button', { name: 'Begin', exact: true }).tap()
    await begin.tap()
    await page.getByRole('button', { name: 'All clear' }).tap()
    await page.getByText('Set 5').waitFor()
    await stop.tap()
    await page.getByText(/Stopped with \d+ runs? to go/).waitFor()
    await page.getByRole('button', { name: 'Go on with the travels' }).waitFor()
    await expectInOrder(page, 'travels stopped')
    await page.getByRole('button', { name: 'End these travels' }).tap()
    await page.getByRole('button', { name: 'Begin', exact: true }).waitFor()
  })
})

function oneLine(text: string): string {
  return text.replace(/\s+/g, ' ')
}
