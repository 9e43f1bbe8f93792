import { describe, expect, it } from 'vitest'
import { hasBrowser, openBrowser, openPage, PHONE } from '../harness/browser.js'
import { expectNotWide, openView } from '../harness/page-state.js'
import { servedSimulatedMill } from '../harness/simulated-mill.js'

/** Views that show lengths or feeds, with what is on them when they are complete. */
const VIEWS: readonly (readonly [string, string | RegExp])[] = [
  ['look-up', /^Dial 5 gives/],
  ['look-up/cut', /depends on its distance from the centre/],
  ['look-up/card', 'Print on one sheet'],
  ['measure/stopwatch', 'Distance between the lines'],
  ['measure/alone', 'Distance between the lines'],
  ['check/history', /table 1 fitted/],
  ['machine/runs', 'Picture'],
  ['machine/tables', 'Explain'],
  ['machine/stops', 'Work it out'],
  ['machine/advice', 'Work it out'],
]

describe.skipIf(!hasBrowser)('an axis that turns', () => {
  it('is shown in degrees, whatever unit was chosen for another axis', async () => {
    const { served, store, axisId } = await servedSimulatedMill()
    // What was measured in mm is degrees, number for number.
    const { machineId } = store.axes.byId(axisId)
    store.machines.change(machineId, { unit: 'mm' }, new Date().toISOString())
    store.axes.change(axisId, { rotary: true, travelMm: 530 }, new Date().toISOString())
    const page = await openPage(await openBrowser(), PHONE, served.url)
    await page.evaluate("localStorage.setItem('tablepace.unit', 'in')")
    await page.reload()
    for (const [view, complete] of VIEWS) {
      await openView(page, view)
      await page.getByText(complete).first().waitFor()
      const shown = (await page.locator('body').textContent()) ?? ''
      const lengths = shown.match(/\d\s*(?:mm|in)\b(?! direction)|\b(?:mm|in)\/min/g)
      expect([view, lengths]).toEqual([view, null])
    }
    await openView(page, 'look-up')
    await page.getByText('deg/min').first().waitFor()
    await expectNotWide(page, 'feeds of an axis that turns')
    await openView(page, 'machine/stops')
    await page.getByLabel(/margin/i).fill('20mm')
    await page.getByRole('button', { name: 'Work it out' }).click()
    await page.getByText(/"20mm" is a length, and here an angle is needed/).waitFor()
    await page.getByLabel(/margin/i).fill('20')
    await page.getByRole('button', { name: 'Work it out' }).click()
    await page
      .getByText(/20\.00 deg/)
      .first()
      .waitFor()
  })
})
