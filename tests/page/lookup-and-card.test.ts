import { describe, expect, it, onTestFinished, vi } from 'vitest'
import { fitTables, recordStopwatchTakes } from '../../src/jobs/index.js'
import type { AddedAxis } from '../../src/page/machine-api.js'
import { axeFindings } from '../harness/axe.js'
import { hasBrowser, LAPTOP, openBrowser, openPage, PHONE, servedStore } from '../harness/browser.js'
import { pageApi } from '../harness/page-api.js'
import { openView } from '../harness/page-state.js'

/** Feeds of a dial for these tests alone, mm/min. */
const FEED_MM_PER_MIN = (dial: number): number => 40 * dial

const BY_HAND = { direction: 1 as const, marks: null }

describe.skipIf(!hasBrowser)('looking up and printing', () => {
  it('looks up both ways, by typing, by slider and by dragging, in both units, and prints the card on one sheet', async () => {
    const { store, axisId, served } = await servedStore([2, 4, 6, 8])
    const axis = store.axes.byId(axisId)
    const at = new Date().toISOString()
    const takes = [2, 4, 6, 8, 8, 6, 4, 2].map((dial, index) => {
      const durationS = (60 * 100 * (1 + 0.004 * (index % 3))) / FEED_MM_PER_MIN(dial)
      const entry = { distanceMm: 100, durationS, direction: 1 as const, marks: null }
      return { dial, origin: 'test', entry, note: null }
    })
    recordStopwatchTakes(store, axis, takes, { dialReset: true, tags: {}, note: null, startedAt: at })
    fitTables(store, axis, { filter: {}, reason: null, fittedAt: at })

    const browser = await openBrowser()
    const page = await openPage(browser, LAPTOP, served.url)
    const dial = page.getByRole('textbox', { name: 'Dial' })
    const feed = page.getByRole('textbox', { name: 'Feed' })
    await page.getByRole('radio', { name: 'mm' }).check()
    await dial.fill('5')
    await page.getByText('Dial 5 gives').waitFor()
    expect(Math.abs(Number(await feed.inputValue()) / FEED_MM_PER_MIN(5) - 1)).toBeLessThan(0.03)
    await feed.fill('280')
    await page.getByText('Set the dial to 7').waitFor()
    expect(Math.abs(Number(await dial.inputValue()) - 7)).toBeLessThan(0.25)
    await feed.fill('12in/min')
    await page.getByText('Set the dial to 7').waitFor()
    await feed.fill('5000')
    await page.getByText('lies outside what was measured').waitFor()
    await dial.fill('4½')
    await page.getByText('Dial 4.5 gives').waitFor()
    const slider = page.getByRole('slider', { name: 'Dial' })
    await slider.press('ArrowRight')
    await page.getByText('Dial 4.55 gives').waitFor()
    const chart = (await page.getByRole('img', { name: /Feed in mm\/min over the dial/ }).boundingBox())!
    await page.mouse.move(chart.x + chart.width / 2, chart.y + 100)
    await page.mouse.down()
    await page.mouse.move(chart.x + chart.width - 20, chart.y + 120)
    await page.mouse.up()
    await page.getByText('Dial 8 gives').waitFor()
    await page.getByRole('radio', { name: 'in', exact: true }).check()
    await page.getByText(/Dial 8 gives 12\.\d+ in\/min/).waitFor()

    await page.locator('nav').getByRole('link', { name: 'Card' }).click()
    // What the user named is text in the drawing, not mark-up.
    await page.locator('.sheet text', { hasText: 'Bench <1> · X: where to set the dial' }).waitFor()
    const pdf = await page.pdf({ format: 'A4' })
    expect(pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)).toHaveLength(1)
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save as SVG' }).click(),
    ])
    expect(download.suggestedFilename()).toMatch(/card\.svg$/)

    // Left open until the session of these runs is over, it no longer answers for today.
    await page.clock.install()
    await page.goto(served.url)
    await page.getByText('Next time you set it today').waitFor()
    vi.useFakeTimers({ toFake: ['Date'], now: Date.now() + 7 * 3_600_000 })
    onTestFinished(() => void vi.useRealTimers())
    await page.clock.fastForward('10:00')
    await page.getByText('Next time you set it today').waitFor({ state: 'hidden' })
    await page.getByText('next time you set it, on any day').waitFor()
    // It names the mark that a check run tells most at, and leads there.
    await page.getByText(/a check run at \d in this direction would narrow that to about ± \d/).waitFor()
    await page.getByRole('link', { name: 'Make a check run' }).click()
    await page.getByRole('heading', { name: 'Check run of' }).waitFor()
    // Its clock stays as it is: it must not stand by for other tests.
    await page.context().close()
  })

  it('answers in its largest figures for today where a check run was made, and for other days below', async () => {
    const { store, axisId, served } = await servedStore([2, 4, 6, 8])
    const axis = store.axes.byId(axisId)
    const record = (dials: readonly number[], factor: number, at: Date, check = false): void => {
      const takes = dials.map((dial) => {
        const durationS = (60 * 400) / (40 * dial * factor)
        return { dial, origin: 'test', entry: { ...BY_HAND, distanceMm: 400, durationS }, note: null }
      })
      const startedAt = at.toISOString()
      recordStopwatchTakes(store, axis, takes, { dialReset: true, tags: {}, note: null, startedAt, check })
    }
    const before = new Date(Date.now() - 3 * 86_400_000)
    record([2, 4, 6, 8, 8, 6, 4, 2], 1, before)
    fitTables(store, axis, { filter: {}, reason: null, fittedAt: before.toISOString() })
    record([4, 6], 0.95, new Date(), true)
    const page = await openPage(await openBrowser(), PHONE, served.url)
    await page.getByRole('radio', { name: 'mm' }).check()
    await page.getByRole('textbox', { name: 'Dial' }).fill('6')
    await page.getByText(/^On another day dial 6 gives 2(39|40|41)/).waitFor()
    const feed = page.getByRole('textbox', { name: 'Feed' })
    expect(Math.abs(Number(await feed.inputValue()) - 0.95 * 240)).toBeLessThan(3)
    expect(await page.locator('.answer .strong').first().textContent()).toMatch(/^Today: 22[6-9]/)
    // However many figures there are, and however large the text: one that is cut off would be another number.
    for (const [text, size] of [
      ['5.43217', '100%'],
      ['5.5', '200%'],
    ] as const) {
      await page.evaluate(`document.documentElement.style.fontSize = '${size}'`)
      await page.getByRole('textbox', { name: 'Dial' }).fill(text)
      const cut =
        "[...document.querySelectorAll('.big input')].filter((one) => one.scrollWidth > one.clientWidth).length"
      expect(await page.evaluate(cut), text).toBe(0)
      expect(await page.evaluate('document.documentElement.scrollWidth - innerWidth')).toBeLessThanOrEqual(0)
    }
    await page.evaluate("document.documentElement.style.fontSize = ''")
    // Slower today, it does not reach what it reaches on other days.
    await feed.fill('319')
    await page.getByText(/^Today: 319 mm\/min lies outside/).waitFor()
    await page.getByText(/^On another day set the dial to/).waitFor()
    expect(await page.getByRole('textbox', { name: 'Dial' }).inputValue()).toBe('')
  })

  it('shows and takes letters where the dial carries letters', async () => {
    const { store, axisId, served } = await servedStore([])
    const { machineId } = store.axes.byId(axisId)
    const at = new Date().toISOString()
    store.axes.remove(axisId, at)
    const { tell } = pageApi(served)
    const fields = { name: 'Y', travel: '10', lowest: 'a', highest: 'C', marks: '', pitch: '' }
    const added = await tell<AddedAxis>('axis/add', { ...fields, machineId, stepped: false, clicks: false })
    const axis = store.axes.byId(added.axisId)
    expect(axis).toMatchObject({ dialMin: 1, dialMax: 3, marks: [1, 2, 3], stepped: true, lettered: true })
    const takes = [1, 2, 3, 3, 2, 1].map((dial) => {
      const entry = {
        distanceMm: 100,
        durationS: 6000 / FEED_MM_PER_MIN(dial),
        direction: 1 as const,
        marks: null,
      }
      return { dial, origin: 'test', entry, note: null }
    })
    recordStopwatchTakes(store, axis, takes, { dialReset: true, tags: {}, note: null, startedAt: at })
    fitTables(store, axis, { filter: {}, reason: null, fittedAt: at })

    const page = await openPage(await openBrowser(), LAPTOP, served.url)
    const dial = page.getByRole('textbox', { name: 'Dial' })
    await page.getByText('Dial B gives').waitFor()
    await dial.fill('c')
    await page.getByText('Dial C gives').waitFor()
    expect(await page.getByRole('rowheader').allTextContents()).toEqual(['A', 'B', 'C'])
    expect(await page.locator('.chart text').allTextContents()).toEqual(
      expect.arrayContaining(['A', 'B', 'C']),
    )
    await dial.fill('3')
    await page.getByText('"3" is not a letter, and this dial carries letters.').waitFor()
    await page.getByRole('radio', { name: 'mm' }).check()
    await page.getByRole('textbox', { name: 'Feed' }).fill('41')
    await page.getByText('Set the dial to A').waitFor()
    expect(await dial.inputValue()).toBe('A')
  })

  it('adds a dial with several ranges, and looks a feed up in each that reaches it', async () => {
    const { store, axisId, served } = await servedStore([])
    const { machineId } = store.axes.byId(axisId)
    const page = await openPage(await openBrowser(), LAPTOP, `${served.url}#/machine`)
    await page.getByRole('button', { name: 'Add an axis' }).click()
    for (const [label, text] of [
      ...[['Axis name', 'Y'] as const, ['Travel', '20'] as const, ['Marks', '2 4 6'] as const],
      ...[['Lowest number', '2'] as const, ['Highest number', '6'] as const],
      ['Ranges of the dial', 'LO'] as const,
    ]) {
      await page.getByRole('textbox', { name: label }).fill(text)
    }
    await page.getByLabel('The dial has only its marks').check()
    await page.getByRole('button', { name: 'Add axis' }).click()
    await page.getByText('Ranges of the dial: "LO" does not name the ranges of a dial.').waitFor()
    await page.getByLabel('Ranges of the dial').fill('LO, HI')
    await page.getByRole('button', { name: 'Add axis' }).click()
    await page.getByText('only its marks, range HI of Y').waitFor()
    const [high, low] = store.axes.list(machineId).filter(({ range }) => range?.of === 'Y')
    // An invented drive: HI goes three times as fast as LO, and its travels were timed so much more evenly that it is surer even at
    // its slowest, where a day may do most.
    const at = new Date().toISOString()
    for (const [axis, perMark, spread] of [[low!, 40, 0.05] as const, [high!, 120, 0.004] as const]) {
      const takes = [2, 4, 6, 6, 4, 2, 2, 4, 6].map((dial, index) => {
        const durationS = (60 * 400 * (1 + spread * (index % 2))) / (perMark * dial)
        return { dial, origin: 'test', entry: { ...BY_HAND, distanceMm: 400, durationS }, note: null }
      })
      recordStopwatchTakes(store, axis, takes, { dialReset: true, tags: {}, note: null, startedAt: at })
      fitTables(store, axis, { filter: {}, reason: null, fittedAt: at })
    }

    await openView(page, 'look-up')
    await page.getByRole('combobox').first().selectOption(String(low!.id))
    await page.getByRole('radio', { name: 'mm' }).check()
    await page.getByRole('textbox', { name: 'Feed' }).fill('238')
    await page.getByText('Set the dial to HI 2').waitFor()
    const answers = page.locator('.answer .strong')
    expect(await answers.allTextContents()).toEqual([
      'Set the dial to HI 2',
      'Today: dial LO 6',
      'Set the dial to LO 6',
    ])
    expect(await page.getByRole('textbox', { name: 'Dial' }).inputValue()).toBe('6')
    await page.getByRole('textbox', { name: 'Feed' }).fill('715')
    await page.getByText('Set the dial to HI 6').waitFor()
    expect(await answers.allTextContents()).toEqual(['Today: dial HI 6', 'Set the dial to HI 6'])
    await page.getByRole('textbox', { name: 'Feed' }).fill('5000')
    await page.getByText('measured on Bench <1> Y-HI').waitFor()
    await page.getByText('measured on Bench <1> Y-LO').waitFor()
    await page.getByRole('textbox', { name: 'Dial' }).fill('lo 4')
    await page.getByText('Dial LO 4 gives').waitFor()
    expect(await answers.count()).toBe(2)
    await page.getByRole('textbox', { name: 'Dial' }).fill('HI 4')
    await page.getByText('choose the axis of the range you mean').waitFor()
    expect(await axeFindings(page)).toEqual([])
  })
})
