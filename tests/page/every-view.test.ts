import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { hasBrowser, LAPTOP, openBrowser, openPage, PHONE } from '../harness/browser.js'
import { expectInOrder, expectInOrderAtBothSizes, expectNotWideAt, openView } from '../harness/page-state.js'
import { servedSimulatedMill } from '../harness/simulated-mill.js'

/** Every view of the page, with what is on it when it is complete. */
const VIEWS: Readonly<Record<string, string | RegExp>> = {
  'look-up': /^Dial 5 gives/,
  'look-up/cut': 'Work it out',
  'look-up/card': 'Print on one sheet',
  measure: /about \d+ runs/,
  'measure/record': 'Connect the readout',
  'measure/stopwatch': 'Distance between the lines',
  'measure/film': /film/i,
  'measure/sweep': 'Connect the readout',
  'measure/alone': 'Distance between the lines',
  check: 'What was done to the machine',
  'check/today': 'Connect the readout',
  'check/history': /table 1 fitted/,
  machine: /travel 2\d/,
  'machine/readout': 'Ports of the computer',
  'machine/runs': 'Picture',
  'machine/tables': 'Explain',
  'machine/compare': 'Compare',
  'machine/stops': 'Work it out',
  'machine/advice': 'Work it out',
  'machine/practice': 'Who practises',
  'machine/files': 'Download a backup',
  'machine/care': /is sound/,
  'machine/phone': /phone/i,
}

/** CSS px of a phone that is zoomed to twice its size. */
const ZOOMED_WIDTH = 180

/** The one button of each view that measures: on a phone it is to be seen without scrolling. */
const ONE_BUTTON: Readonly<Record<string, string | RegExp>> = {
  measure: 'Begin',
  'measure/record': 'Connect',
  'measure/stopwatch': /^Start/,
  'measure/sweep': 'Connect',
  'measure/alone': /^Start/,
  check: 'Plan the runs',
  'check/today': 'Connect',
}

describe.skipIf(!hasBrowser)('every view of the page', () => {
  it('is in the list that this test walks through', () => {
    const client = 'src/page/client'
    const app = readFileSync(join(client, 'app.tsx'), 'utf8')
    const places = [...app.matchAll(/path: '([\w-]+)', name: .*? views: /g)].map((found) => found[1]!)
    const views = places.flatMap((place) => {
      const list = readFileSync(join(client, place, 'index.ts'), 'utf8')
      return [...list.matchAll(/path: '([\w-]*)'/g)].map(([, path]) => (path ? `${place}/${path}` : place))
    })
    expect(Object.keys(VIEWS)).toEqual(views)
  })

  it('keeps nobody out on a phone or a laptop, in the light or in the dark', async () => {
    const { served } = await servedSimulatedMill()
    const browser = await openBrowser()
    const page = await openPage(browser, PHONE, served.url)
    for (const [view, complete] of Object.entries(VIEWS)) {
      await openView(page, view)
      if (view === 'measure/stopwatch') {
        await page.getByText('Before the table moves').first().waitFor()
        await expectInOrderAtBothSizes(page, 'the cautions')
        await page.getByRole('button', { name: 'All clear' }).click()
      }
      await page.locator('main').getByText(complete).first().waitFor()
      const name = ONE_BUTTON[view]
      const oneButton = name === undefined ? [] : [page.getByRole('button', { name }).first()]
      await expectInOrderAtBothSizes(page, view, ...oneButton)
      await expectNotWideAt(ZOOMED_WIDTH, page, view)
      await page.setViewportSize(PHONE.viewport)
    }
    // What stands on every view is as good as another part of the first.
    await page.setViewportSize(LAPTOP.viewport)
    await expectInOrder(page, 'the last view on a laptop, with its head')
  })
})
