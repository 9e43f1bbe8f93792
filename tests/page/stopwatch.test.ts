import { setTimeout as sleep } from 'node:timers/promises'
import type { Page } from 'playwright-core'
import { describe, expect, it, onTestFinished } from 'vitest'
import { hasBrowser, LAPTOP, openBrowser, openPage, PHONE, servedStore } from '../harness/browser.js'

/** Opens the stopwatch and sets dial 4, direction + and 2 in. */
async function readyToTime(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'All clear' }).click()
  await page.getByRole('button', { name: '4', exact: true }).click()
  await page.getByLabel('Distance between the lines').fill('2')
}

/** Taps start and stop, `durationMs` apart; gives the time that the test itself saw go by, s. */
async function timeIt(page: Page, durationMs: number): Promise<number> {
  const startedMs = performance.now()
  await page.getByRole('button', { name: /^Start/ }).tap()
  await sleep(durationMs)
  await page.getByRole('button', { name: /^Stop(?!ped)/ }).tap()
  return (performance.now() - startedMs) / 1000
}

/** Counts, from the next load of the page on, how often its audio began to run or to rest; tells that and what it does now. */
async function watchAudio(page: Page): Promise<() => Promise<{ changes: number; now: string }>> {
  const watching = await page.addInitScript(`{
    globalThis.audio = { changes: 0, now: 'none' }
    globalThis.AudioContext = class extends AudioContext {
      constructor() {
        super()
        this.addEventListener('statechange', () => {
          audio.changes += 1
          audio.now = this.state
        })
      }
    }
  }`)
  onTestFinished(() => watching.dispose())
  return () => page.evaluate<{ changes: number; now: string }>('audio')
}

describe.skipIf(!hasBrowser)('the stopwatch on a phone', () => {
  it('is paired by its address, times by taps with undo, and brings the phone into the uncertainty', async () => {
    const { store, axisId, served } = await servedStore([4, 8], '127.0.0.2')
    const browser = await openBrowser()
    const page = await openPage(browser, PHONE, new URL('/', served.pairingUrl!).href)
    await page.getByText('This page is not let in').waitFor()
    await page.goto(served.pairingUrl!)
    await page.getByRole('link', { name: 'Measure' }).tap()
    await page.getByRole('link', { name: 'By stopwatch' }).tap()
    // The token is out of the address bar, and kept over a reload.
    expect(page.url()).not.toContain('pair')
    const audio = await watchAudio(page)
    await page.reload()
    await readyToTime(page)
    // The first touch lets the page sound; while nothing sounds the audio rests.
    await expect.poll(audio).toEqual({ changes: 2, now: 'suspended' })
    const button = await page.getByRole('button', { name: /^Start/ }).boundingBox()
    expect(Math.min(button!.width, button!.height)).toBeGreaterThan(200)

    await page.getByRole('button', { name: /^Start/ }).tap()
    await sleep(200)
    await page.getByRole('button', { name: /^Mark on the way/ }).tap()
    await sleep(200)
    await page.getByRole('button', { name: /^Stop(?!ped)/ }).tap()
    // A press sounds, and once more the audio rests.
    await expect
      .poll(async () => {
        const { changes, now } = await audio()
        return changes >= 4 && now
      })
      .toBe('suspended')
    // A mistaken stop is taken back, and the watch runs on; a reload in between loses nothing.
    await page.getByRole('button', { name: 'Undo the last press' }).tap()
    await page.reload()
    // Nothing covers the button of a watch that runs, and what is timed is still there.
    await page.getByRole('button', { name: /^Stop(?!ped)/ }).tap()
    expect(await page.getByLabel('Dial setting').inputValue()).toBe('4')
    expect(await page.getByLabel('Distance between the lines').inputValue()).toBe('2')
    await page.getByRole('button', { name: 'Throw away' }).tap()
    expect(await page.locator('.press').textContent()).toContain('0.0 s')
    expect(store.runs.list(axisId)).toEqual([])

    await page.getByRole('button', { name: '4', exact: true }).tap()
    await page.getByLabel('Distance between the lines').fill('2')
    const goneByS = await timeIt(page, 1200)
    await page.getByRole('button', { name: /^Keep/ }).tap()
    await page.locator('.take .strong', { hasText: 'Dial 4 +' }).waitFor()
    const [run] = store.runs.list(axisId)
    expect(run).toMatchObject({ dial: 4, direction: 1, source: 'stopwatch', accepted: true })
    expect(run!.distanceMm).toBeCloseTo(50.8, 9)
    expect(run!.durationS).toBeGreaterThan(1.2)
    expect(run!.durationS).toBeLessThan(goneByS)
    const entry = store.recordings.stopwatchEntry(run!.recordingId)!
    // Within this computer an exchange takes milliseconds, so the clock adds less than a hundredth of a second.
    expect(entry.marks).toMatchObject({ clock: { strayedS: 0, standardUncertaintyS: expect.closeTo(0, 1) } })
  })

  it('loses no tap with the connection, and keeps what is sent twice once', async () => {
    const { store, axisId, served } = await servedStore([4, 8])
    const browser = await openBrowser()
    const page = await openPage(browser, PHONE, `${served.url}#/stopwatch`)
    await readyToTime(page)
    await page.context().setOffline(true)
    await timeIt(page, 400)
    await page.getByRole('button', { name: /^Keep/ }).tap()
    await page.getByText('waiting for the connection').waitFor()
    await page.getByLabel('Distance between the lines').fill('3')
    await timeIt(page, 400)
    await page.getByRole('button', { name: /^Keep/ }).tap()
    await expect.poll(() => page.getByText('waiting for the connection').count()).toBe(2)
    expect(store.runs.list(axisId)).toEqual([])

    // The first answer never arrives: the page has to send again what is kept already.
    let answered = 0
    await page.route('**/api/stopwatch', async (route) => {
      const answer = await route.fetch()
      answered += 1
      if (answered === 1) await route.abort()
      else await route.fulfill({ response: answer })
    })
    await page.context().setOffline(false)
    await expect.poll(() => page.getByText('waiting for the connection').count()).toBe(0)
    expect(answered).toBe(3)
    const kept = store.runs.list(axisId)
    expect(kept.map((run) => Math.round(run.distanceMm / 25.4))).toEqual([2, 3])
    for (const run of kept) expect(run.durationS).toBeGreaterThan(0.4)
  })

  it('works by keyboard alone, and refuses a setting that the dial does not have without losing the timing', async () => {
    const { store, axisId, served } = await servedStore([4, 8])
    const browser = await openBrowser()
    const page = await openPage(browser, LAPTOP, `${served.url}#/stopwatch`)
    await page.getByRole('button', { name: 'All clear' }).press('Enter')
    await page.getByLabel('Dial setting').fill('40')
    await page.getByLabel('Distance between the lines').fill('2')
    await page.getByLabel('Lines on the way').fill('1.5')
    await page.getByRole('button', { name: /^Start/ }).press('Space')
    await sleep(300)
    await page.getByRole('button', { name: /^Mark on the way/ }).press('Space')
    await sleep(300)
    await page.getByRole('button', { name: /^Stop(?!ped)/ }).press('Space')
    await page.getByRole('button', { name: /^Keep/ }).press('Enter')
    await page.getByText('Dial 40 is outside the dial').waitFor()
    expect(store.runs.list(axisId)).toEqual([])
    await page.getByLabel('Dial of this timing').fill('8')
    await page.getByRole('button', { name: 'Send it again' }).press('Enter')
    await expect.poll(() => page.getByText('Dial 40 is outside the dial').count()).toBe(0)
    await expect.poll(() => store.runs.list(axisId).map((run) => run.dial)).toEqual([8])
    // The press on the way is a reading at its line.
    const [run] = store.runs.list(axisId)
    const { readings } = store.recordings.stopwatchEntry(run!.recordingId)!.marks as { readings: number[][] }
    expect(readings.map(([, positionMm]) => positionMm)).toEqual([0, 1.5, 2].map((inches) => 25.4 * inches))
  })
})
