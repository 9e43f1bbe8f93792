import type { Page } from 'playwright-core'
import { describe, expect, it } from 'vitest'
import { addAxis } from '../../src/jobs/index.js'
import { axeFindings } from '../harness/axe.js'
import { hasBrowser, openBrowser, openPage, PHONE, servedStore } from '../harness/browser.js'
import { filmFile } from '../harness/film/film-file.js'
import { type DisplayLook, filmedDisplay } from '../harness/film/filmed-display.js'
import { pageApi } from '../harness/page-api.js'
import { openView } from '../harness/page-state.js'

/** Held by hand, by a phone that films 30 frames a second at first and 20 from half way on. */
const LOOK: DisplayLook = {
  ...{ digits: 5, decimals: 2, sign: false, lit: true, ground: 30, segment: 220, ghost: 0.03 },
  ...{ digitPx: 40, widthShare: 0.5, pitchShare: 0.75, thickShare: 0.12, slantDeg: 6, tiltDeg: 1 },
  ...{ blurShare: 0.02, noise: 4, glare: 0, shakePx: 0, blankZeros: false, plainSixNine: false },
  ...{ hookedSeven: false, change: 'blend', framesPerS: 30, refreshHz: 8, exposure: 0.5 },
  ...{ hand: 0.3, slowsDown: 1.5 },
}
/** 45 mm/s is 2700 mm/min: fast, so that a film that is played in a moment shows a run. */
const TRAVEL = { fromMm: 20, speedMmPerS: 45, restS: 0.3, rampS: 0.1, steadyS: 2.4 }
const FEED_MM_PER_MIN = 2700
const film = filmedDisplay(LOOK, TRAVEL, 1)
const frames = Array.from({ length: film.frames }, (_, index) => film.frame(index))

describe.skipIf(!hasBrowser)('films of the readout, on a phone', () => {
  it('are read by hand or digit by digit for the runs of a session, without leaving the phone', async () => {
    const { store, axisId, served } = await servedStore([4])
    await pageApi(served).tell('session/begin', { axisId, procedure: 'stopwatch' })
    const browser = await openBrowser()
    const page = await openPage(browser, PHONE, served.url)
    const sent: number[] = []
    page.on('request', (request) => sent.push(request.postDataBuffer()?.length ?? 0))
    const buffer = await filmFile(page, film, frames, LOOK.framesPerS)
    const open = async (file: Buffer): Promise<void> => {
      const chosen = { name: 'a.webm', mimeType: 'video/webm', buffer: file }
      await page.getByLabel('Film', { exact: true }).setInputFiles(chosen)
    }

    // From the session to the film of the run that it asks for.
    await page.getByRole('link', { name: 'Measure' }).tap()
    await page.getByRole('button', { name: 'All clear' }).tap()
    await page.getByRole('link', { name: 'Film this run instead' }).tap()
    await page.getByRole('radio', { name: 'mm' }).check()
    await page.locator('.instruction', { hasText: 'Dial 4 feed +' }).waitFor()
    await open(buffer)
    await page.getByText('30 frames a second').waitFor()
    // What is no film is said to be none, and the next one is opened in its place.
    await open(Buffer.from('no film'))
    await page.getByText('This browser cannot play that film').waitFor()
    await open(buffer)
    await page.getByText('30 frames a second').waitFor()
    await typesReadings(page)
    // The display changes every 0.125 s: until that is known, a slow one is reckoned with.
    const refresh = page.getByLabel('Time between changes of the display')
    expect(await refresh.inputValue()).toBe('')
    await refresh.fill('0')
    await page.getByRole('button', { name: 'Keep this run' }).tap()
    await page.getByText('A display does not change every 0 s').waitFor()
    await refresh.fill('0.125')
    expect(await axeFindings(page)).toEqual([])
    expect(await page.evaluate<number>('document.documentElement.scrollWidth')).toBeLessThanOrEqual(360)
    await page.getByRole('button', { name: 'Keep this run' }).tap()
    await page.locator('.take .strong', { hasText: 'Dial 4 +' }).waitFor()

    // The step is done, and the next one is another film; another setting is filmed beside it.
    await page.getByRole('radio', { name: 'Run 2 of' }).waitFor()
    expect(await page.getByRole('button', { name: 'Keep this run' }).count()).toBe(0)
    await page.getByRole('radio', { name: 'Another setting' }).check()
    await open(buffer)
    await page.getByText('30 frames a second').waitFor()
    await page.getByRole('button', { name: '4', exact: true }).tap()
    await readsDigits(page)
    await page.getByRole('button', { name: 'It is right' }).tap()
    await page.locator('.take .strong', { hasText: 'Dial 4 +' }).waitFor()
    await page.getByRole('link', { name: 'Back to the session' }).tap()
    await page.getByText('Run 2 of').waitFor()

    const [typed, read] = store.runs.list(axisId).toSorted((a, b) => (a.id < b.id ? -1 : 1))
    expect(typed).toMatchObject({ dial: 4, direction: 1, accepted: true, source: 'stopwatch', step: 1 })
    expect(read).toMatchObject({ dial: 4, direction: 1, source: 'readout', accepted: true, step: null })
    for (const [run, most] of [
      [typed!, 0.15],
      [read!, 0.01],
    ] as const) {
      const {
        feedMmPerMin,
        interval95MmPerMin: [low, high],
      } = run.feed!
      expect(low).toBeLessThan(FEED_MM_PER_MIN)
      expect(high).toBeGreaterThan(FEED_MM_PER_MIN)
      expect(Math.abs(feedMmPerMin / FEED_MM_PER_MIN - 1)).toBeLessThan(most)
    }
    const recording = store.recordings.get(read!.recordingId)
    expect(recording.origin).toMatch(/^film page /)
    expect([...store.recordings.lines(recording.id)][0]!.text).toBe('20.00')
    // On a dial with several ranges the run is one of the range that was chosen, and a setting may name it.
    const fields = {
      travelMm: 500,
      dialMin: 1,
      dialMax: 8,
      marks: [4],
      stepped: false,
      leadscrewPitchMm: null,
    }
    const { machineId } = store.axes.byId(axisId)
    const dialOfY = { ...fields, name: 'Y', dialClicks: false }
    const [, high] = addAxis(store, machineId, dialOfY, ['LO', 'HI'], new Date().toISOString())
    await page.reload()
    await openView(page, 'measure/film')
    await page.locator('header select').selectOption(String(high!.id))
    await page.getByText('Runs of Y-HI by film').waitFor()
    await open(buffer)
    await page.getByText('30 frames a second').waitFor()
    await page.getByLabel('Dial setting').fill('HI 4')
    await typesReadings(page)
    await page.getByRole('button', { name: 'Keep this run' }).tap()
    await page.locator('.take .strong', { hasText: 'Dial 4 +' }).waitFor()
    expect(store.runs.list(high!.id)).toMatchObject([{ dial: 4, accepted: true, source: 'stopwatch' }])
    // Numbers alone were sent, fewer than one picture has bytes.
    expect(Math.max(...sent)).toBeLessThan(5000)
  })
})

/** What the display showed at a time, in its last digit. */
function shownAt(timeS: number): readonly number[] {
  const off = frames.map((frame) => Math.abs(frame.timeS - timeS))
  return frames[off.indexOf(Math.min(...off))]!.shown
}

/** Steps through the film and types a few readings at the steady speed. */
async function typesReadings(page: Page): Promise<void> {
  const atNow = async (): Promise<number> =>
    Number(/At ([\d.]+) s/.exec((await page.locator('.at').textContent())!)![1])
  const step = async (name: string): Promise<number> => {
    const before = await page.locator('.at').textContent()
    await page.getByRole('button', { name, exact: true }).tap()
    await expect.poll(() => page.locator('.at').textContent()).not.toBe(before)
    return await atNow()
  }
  // Each frame is shown at its own time, also where the film goes slower.
  expect(await atNow()).toBeCloseTo(0, 3)
  expect(await step('+ 1 frame')).toBeCloseTo(1 / 30, 3)
  expect(await step('+ 1 s')).toBeCloseTo(31 / 30, 1)
  const here = await atNow()
  expect(await step('− 1 frame')).toBeCloseTo(here - 1 / 30, 3)
  const type = async (timeS: number): Promise<void> => {
    await page.getByLabel('Reading at this frame').fill((shownAt(timeS).at(-1)! / 100).toFixed(2))
    await page.getByRole('button', { name: 'Add', exact: true }).tap()
    await page.getByText(`${timeS.toFixed(3)} s:`).waitFor()
  }
  await type(await atNow())
  const slow = await step('+ 1 s')
  await type(slow)
  expect(await step('+ 1 frame')).toBeCloseTo(slow + 1.5 / 30, 3)
  await type(await atNow())
  // One that was typed wrong is taken back.
  await page.getByLabel('Reading at this frame').fill('x')
  await page.getByRole('button', { name: 'Add', exact: true }).tap()
  await page.getByText('"x" is not a number').waitFor()
  await page.getByRole('button', { name: 'Take back' }).last().tap()
  await expect.poll(() => page.getByRole('button', { name: 'Take back' }).count()).toBe(2)
}

/** Frames the display with a finger and lets the program read; each picture stands beside the number that was shown then. */
async function readsDigits(page: Page): Promise<void> {
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
  await page.getByRole('button', { name: 'Read the film' }).tap()
  const words = page.getByText(/^Read in \d+ of \d+ frames/)
  await words.waitFor()
  // Frames that a busy machine left out while it played were got afterwards.
  const ofFrames = Number(/of (\d+) frames/.exec((await words.textContent())!)![1])
  expect(ofFrames).toBeGreaterThan(0.9 * film.frames)
  expect(await axeFindings(page)).toEqual([])
  const read = await page.locator('.read-pictures li').allTextContents()
  expect(read).toHaveLength(5)
  for (const text of read) {
    const [, number, atS] = /([\d.]+) mm\s*at ([\d.]+) s/.exec(text)!
    const shown = frames
      .filter(({ timeS }) => Math.abs(timeS - Number(atS)) < 0.1)
      .flatMap((one) => one.shown)
    expect(shown).toContain(Math.round(100 * Number(number)))
  }
}
