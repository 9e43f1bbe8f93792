import type { Page } from 'playwright-core'
import { describe, expect, it } from 'vitest'
import { axeFindings, hasBrowser, openBrowser, openPage, PHONE, servedStore } from '../harness/browser.js'
import { filmFile } from '../harness/film/film-file.js'
import { type DisplayLook, filmedDisplay } from '../harness/film/filmed-display.js'

const LOOK: DisplayLook = {
  ...{ digits: 5, decimals: 2, sign: false, lit: true, ground: 30, segment: 220, ghost: 0.03 },
  ...{ digitPx: 44, widthShare: 0.5, pitchShare: 0.75, thickShare: 0.12, slantDeg: 6, tiltDeg: 1 },
  ...{ blurShare: 0.02, noise: 4, glare: 0, shakePx: 0, blankZeros: false, plainSixNine: false },
  ...{ hookedSeven: false, change: 'blend', framesPerS: 30, refreshHz: 10, exposure: 0.5 },
}
/** 3 mm/s is 180 mm/min. */
const TRAVEL = { fromMm: 20, speedMmPerS: 3, restS: 0.7, rampS: 0.2, steadyS: 5 }
const film = filmedDisplay(LOOK, TRAVEL, 1)
let made: Buffer | null = null

/** The film as a file, made once. */
async function theFilm(page: Page): Promise<Buffer> {
  made ??= await filmFile(page, film, LOOK.framesPerS)
  return made
}

describe.skipIf(!hasBrowser)('a film of the readout, on a phone', () => {
  it('is stepped through and read by hand, and becomes a run, without leaving the phone', async () => {
    const { store, axisId, served } = await servedStore([4])
    const browser = await openBrowser()
    const page = await openPage(browser, PHONE, served.url)
    const sent: number[] = []
    page.on('request', (request) => sent.push(request.postDataBuffer()?.length ?? 0))
    const buffer = await theFilm(page)

    await page.getByRole('link', { name: 'Measure' }).tap()
    await page.getByRole('link', { name: 'By film' }).tap()
    await page.getByRole('radio', { name: 'mm' }).check()
    await page
      .getByLabel('Film', { exact: true })
      .setInputFiles({ name: 'a.webm', mimeType: 'video/webm', buffer })
    await page.getByText('30 frames a second').waitFor()
    // What is no film is said to be none, and the next one is opened in its place.
    await page
      .getByLabel('Film', { exact: true })
      .setInputFiles({ name: 'b.webm', mimeType: 'video/webm', buffer: Buffer.from('no film') })
    await page.getByText('This browser cannot play that film').waitFor()
    await page
      .getByLabel('Film', { exact: true })
      .setInputFiles({ name: 'c.webm', mimeType: 'video/webm', buffer })
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
    expect(await axeFindings(page)).toEqual([])
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

  it('is read digit by digit, shown for confirmation, and becomes a run as one of a readout does', async () => {
    const { store, axisId, served } = await servedStore([4])
    const browser = await openBrowser()
    const page = await openPage(
      browser,
      { viewport: { width: 1280, height: 800 } },
      `${served.url}#/measure/film`,
    )
    const sent: number[] = []
    page.on('request', (request) => sent.push(request.postDataBuffer()?.length ?? 0))
    const buffer = await theFilm(page)
    await page.getByRole('radio', { name: 'mm' }).check()
    await page
      .getByLabel('Film', { exact: true })
      .setInputFiles({ name: 'a.webm', mimeType: 'video/webm', buffer })
    await page.getByText('30 frames a second').waitFor()
    await page.getByRole('button', { name: '4', exact: true }).click()
    await page.getByRole('radio', { name: 'The program' }).check()
    await page.getByLabel('Digits', { exact: true }).fill('5')
    await page.locator('.drag-frame').scrollIntoViewIfNeeded()
    // The picture has a border of 40 px and 30 px around what was drawn.
    const picture = (await page.locator('.drag-frame').boundingBox())!
    const scale = picture.width / (2 * Math.ceil(film.width / 2) + 80)
    const [xs, ys] = [0, 1].map((side) => film.corners.map((corner) => corner[side]!))
    const at = (x: number, y: number) => [picture.x + scale * (x + 40), picture.y + scale * (y + 30)] as const
    await page.mouse.move(...at(Math.min(...xs!), Math.min(...ys!)))
    await page.mouse.down()
    await page.mouse.move(...at(Math.max(...xs!), Math.max(...ys!)), { steps: 3 })
    await page.mouse.up()
    await page.getByRole('button', { name: 'Read the film' }).click()
    const words = page.getByText(/^Read in \d+ of \d+ frames/)
    await words.waitFor()
    // Frames that a busy machine left out while it played were got afterwards.
    const ofFrames = Number(/of (\d+) frames/.exec((await words.textContent())!)![1])
    expect(ofFrames).toBeGreaterThan(0.9 * film.frames)
    expect(await axeFindings(page)).toEqual([])
    // Each picture stands beside the number that the display showed then.
    const read = await page.locator('.read-pictures li').allTextContents()
    expect(read).toHaveLength(5)
    for (const text of read) {
      const [, number, atS] = /([\d.]+) mm\s*at ([\d.]+) s/.exec(text)!
      const shown = [-3, -2, -1, 0, 1, 2, 3].flatMap((off) => {
        const index = Math.round(Number(atS) * LOOK.framesPerS) + off
        return index < 0 || index >= film.frames ? [] : film.frame(index).shown
      })
      expect(shown).toContain(Math.round(100 * Number(number)))
    }
    await page.getByRole('button', { name: 'It is right' }).click()
    await page.locator('.take .strong', { hasText: 'Dial 4 +' }).waitFor()
    const [run] = store.runs.list(axisId)
    expect(run).toMatchObject({ dial: 4, direction: 1, source: 'readout', accepted: true })
    expect(Math.abs(run!.feed!.feedMmPerMin / 180 - 1)).toBeLessThan(0.01)
    const [low, high] = run!.feed!.interval95MmPerMin
    expect(low).toBeLessThan(180)
    expect(high).toBeGreaterThan(180)
    const recording = store.recordings.get(run!.recordingId)
    expect(recording.origin).toMatch(/^film page /)
    expect([...store.recordings.lines(recording.id)][0]!.text).toBe('20.00')
    // Numbers alone were sent, fewer than one picture has bytes.
    expect(Math.max(...sent)).toBeLessThan(5000)
  })
})
