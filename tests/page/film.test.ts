import { describe, expect, it } from 'vitest'
import { hasBrowser, openBrowser, openPage, PHONE, seriousFindings, servedStore } from '../harness/browser.js'
import { filmFile } from '../harness/film/film-file.js'
import { type DisplayLook, filmedDisplay } from '../harness/film/filmed-display.js'

const LOOK: DisplayLook = {
  ...{ digits: 5, decimals: 2, sign: false, lit: true, ground: 30, segment: 220, ghost: 0.03 },
  ...{ digitPx: 60, widthShare: 0.5, pitchShare: 0.75, thickShare: 0.12, slantDeg: 6, tiltDeg: 1 },
  ...{ blurShare: 0.02, noise: 4, glare: 0, shakePx: 0, blankZeros: false, plainSixNine: false },
  ...{ hookedSeven: false, change: 'blend', framesPerS: 30, refreshHz: 10, exposure: 0.5 },
}
/** 3 mm/s is 180 mm/min. */
const TRAVEL = { fromMm: 20, speedMmPerS: 3, restS: 0.7, rampS: 0.2, steadyS: 5 }

describe.skipIf(!hasBrowser)('a film of the readout, on a phone', () => {
  it('is stepped through and read by hand, and becomes a run, without leaving the phone', async () => {
    const { store, axisId, served } = await servedStore([4])
    const browser = await openBrowser()
    const page = await openPage(browser, PHONE, served.url)
    const sent: number[] = []
    page.on('request', (request) => sent.push(request.postDataBuffer()?.length ?? 0))
    const film = filmedDisplay(LOOK, TRAVEL, 1)
    const buffer = await filmFile(page, film, LOOK.framesPerS)

    await page.getByRole('link', { name: 'Measure' }).tap()
    await page.getByRole('link', { name: 'By film' }).tap()
    await page.getByRole('radio', { name: 'mm' }).check()
    await page
      .getByLabel('Film', { exact: true })
      .setInputFiles({ name: 'a.webm', mimeType: 'video/webm', buffer })
    await page.getByText('30 frames a second').waitFor()
    await page.getByRole('button', { name: '4', exact: true }).tap()
    // The first frame, one frame on, one second on and back by a frame: each is shown at its own time.
    const shownAt = async (): Promise<number> =>
      Number(/At ([\d.]+) s/.exec((await page.locator('.at').textContent())!)![1])
    const step = async (name: string): Promise<number> => {
      const before = await page.locator('.at').textContent()
      await page.getByRole('button', { name, exact: true }).tap()
      await expect.poll(() => page.locator('.at').textContent()).not.toBe(before)
      return await shownAt()
    }
    expect(await shownAt()).toBeCloseTo(0, 3)
    expect(await step('+ 1 frame')).toBeCloseTo(1 / 30, 3)
    expect(await step('+ 1 s')).toBeCloseTo(31 / 30, 1)
    const here = await shownAt()
    expect(await step('− 1 frame')).toBeCloseTo(here - 1 / 30, 3)

    for (let count = 0; count < 4; count += 1) {
      const atS = await step('+ 1 s')
      const { shown } = film.frame(Math.round(atS * LOOK.framesPerS))
      await page.getByLabel('Reading at this frame').fill((shown.at(-1)! / 100).toFixed(2))
      await page.getByRole('button', { name: 'Add', exact: true }).tap()
      await page.getByText(`${atS.toFixed(3)} s:`).waitFor()
    }
    // One that was typed wrong is taken back.
    await page.getByLabel('Reading at this frame').fill('x')
    await page.getByRole('button', { name: 'Add', exact: true }).tap()
    await page.getByText('"x" is not a number').waitFor()
    await page.getByRole('button', { name: 'Take back' }).first().tap()
    await expect.poll(() => page.getByRole('button', { name: 'Take back' }).count()).toBe(3)
    expect(await seriousFindings(page)).toEqual([])
    expect(await page.evaluate<number>('document.documentElement.scrollWidth')).toBeLessThanOrEqual(360)

    await page.getByRole('button', { name: 'Keep this run' }).tap()
    await page.locator('.take .strong', { hasText: 'Dial 4 +' }).waitFor()
    const [run] = store.runs.list(axisId)
    expect(run).toMatchObject({ dial: 4, direction: 1, accepted: true })
    const {
      feedMmPerMin,
      interval95MmPerMin: [low, high],
    } = run!.feed!
    expect(low).toBeLessThan(180)
    expect(high).toBeGreaterThan(180)
    expect(Math.abs(feedMmPerMin / 180 - 1)).toBeLessThan(0.05)
    // Nothing that was sent is as long as one frame of the film.
    expect(Math.max(...sent)).toBeLessThan(2000)
  })
})
