import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import type { StartAnswer } from '../../src/page/api.js'
import { openStore } from '../../src/store/index.js'
import { hasBrowser, openBrowser } from '../harness/browser.js'
import { pageApi } from '../harness/page-api.js'
import {
  expectAboveTheFoldAtBothSizes,
  expectInOrder,
  expectInOrderAtBothSizes,
  expectNotWide,
} from '../harness/page-state.js'
import { FEED_IN_PER_S, PageUser } from '../harness/page-user.js'
import { temporaryFolder } from '../harness/program.js'
import { serveProgram } from '../harness/serve-program.js'

/** In: a timing may last as long as a busy machine takes between two presses, and still be one of this table. */
const LONG_TRAVEL = '400'
const FIXED_RUNS = /by stopwatch, up, down/

describe.skipIf(!hasBrowser)('the whole job by stopwatch, without a terminal', () => {
  it('goes on a phone from an empty store to a printed card, a recheck and an export, and fits a laptop all the way', async () => {
    const path = join(temporaryFolder(), 'store.db')
    const first = await serveProgram(path)
    const browser = await openBrowser()
    const user = await PageUser.open(browser, 'phone', first.url)
    const { page } = user
    const button = (name: string | RegExp) => page.getByRole('button', { name })

    // A field that cannot be read is said, and nothing is lost.
    await user.fill('Machine name', 'Bench <1>')
    await user.fill('Travel', 'far')
    await user.fill('Marks', '4')
    // A dial may carry letters, which a keypad of digits has none of.
    expect(await page.getByLabel('Highest number').getAttribute('inputmode')).toBe('text')
    await page.getByRole('radio', { name: 'left' }).check()
    await user.button('Add machine')
    await page.getByText('"far" holds no number').waitFor()
    await expectInOrder(page, 'first start')
    await user.fill('Travel', LONG_TRAVEL)
    await user.button('Add machine')
    await page.getByText('There is no table of this axis yet').waitFor()
    await expectInOrderAtBothSizes(page, 'no table yet')
    await user.link('Time the first runs')
    await expectAboveTheFoldAtBothSizes(page, button('Begin'))
    await user.press(page.getByText('Change how'))
    await page.getByRole('radio', { name: FIXED_RUNS }).check()
    await user.button('Begin')
    await expectAboveTheFoldAtBothSizes(page, button('All clear'))
    await user.button('All clear')
    await page.getByText('0 of 6 runs').waitFor()

    // What to set, in the user's own words, and the one button: to be seen without scrolling at every moment.
    const instruction = page.locator('.instruction')
    await instruction.getByText('left', { exact: true }).waitFor()
    await expectInOrderAtBothSizes(page, 'ready', instruction, button(/^Start/))
    const before = user.taps
    await user.button(/^Start/)
    await expectInOrderAtBothSizes(page, 'the watch runs', instruction, button(/^Stop/))
    await user.button(/^Stop(?!ped)/)
    await expectInOrderAtBothSizes(page, 'stopped', instruction, button(/^Keep/))
    await user.keep()
    expect(user.taps - before).toBeLessThanOrEqual(3)
    await page.getByText('Run 2 of 6').waitFor()

    // What cannot be a distance here is refused, and can be put right.
    await user.startAndStop()
    await user.fill(/^Distance between/, '500')
    await user.button(/^Keep/)
    await page.getByText('is more than X travels').waitFor()
    await expectInOrder(page, 'refused')
    await user.button('Throw away')
    await user.timeOnce()
    await page.getByText('Run 3 of 6').waitFor()

    // A second page, on a laptop, times the same run; each timing stays with the step that it was begun for.
    const other = await PageUser.open(browser, 'laptop', `${first.url}#/measure`)
    await other.button('All clear')
    for (const one of [user, other]) await one.startAndStop()
    await user.keep()
    await page.getByText('Run 4 of 6').waitFor()
    await other.page.getByText('Run 3 of 6').waitFor()
    await other.keep()
    await other.page.getByText('Run 3 had been timed already').waitFor()
    await other.page.context().close()

    // The program dies while the watch runs, and is started again on its port: nothing is lost, and nothing covers Stop.
    await user.button(/^Start/)
    await first.kill()
    await page.getByText('The connection is lost').waitFor()
    await expectInOrder(page, 'connection lost')
    const again = await serveProgram(path, '--port', new URL(first.url).port)
    await page.getByText('Open it again by the address that the program shows').waitFor()
    await page.goto(`${again.url}#/measure`)
    await page.getByText('The connection is lost').waitFor({ state: 'hidden' })
    await user.button(/^Stop(?!ped)/)
    await user.keep()
    for (const run of [5, 6]) {
      await page.getByText(`Run ${run} of 6`).waitFor()
      await user.timeOnce()
    }
    // It does not end by itself, and says so.
    await page.getByText('All runs of this session are done').waitFor()
    await expectInOrderAtBothSizes(page, 'session done', button('Make the table'))
    await user.button('Make the table')

    // Looked up with one tap and the digits.
    await page.getByRole('heading', { name: 'Feeds of X' }).waitFor()
    const beforeLookup = user.taps
    await user.press(page.getByRole('textbox', { name: 'Dial' }))
    await page.keyboard.type('4')
    await page.getByText('Dial 4 gives').waitFor()
    expect(user.taps - beforeLookup).toBe(1)
    const store = openStore(path, { mode: 'read' })
    const [{ id: axisId } = { id: 0 }] = store.axes.list(store.machines.list()[0]!.id)
    expect(store.tables.list(axisId).map(({ direction, runs }) => [direction, runs])).toEqual([
      [1, 4],
      [-1, 3],
    ])
    expect(store.runs.list(axisId).map(({ dial, step }) => [dial, step])).toEqual(
      [1, 2, 3, 3, 4, 5, 6].map((step) => [4, step]),
    )
    expect(store.sessions.inProgress(axisId)).toBeNull()
    // What was not measured is refused, with what to do.
    await page.keyboard.type('9')
    await page.getByText('lies outside what was measured').waitFor()
    await expectInOrder(page, 'nothing to look up')
    await user.printCard()

    const beforeRecheck = user.taps
    await user.goTo('Check')
    const reason = page.getByLabel('What was done to the machine')
    await user.press(reason)
    await page.keyboard.type('gibs adjusted')
    await expectAboveTheFoldAtBothSizes(page, reason, button('Plan the runs'))
    await user.button('Plan the runs')
    await page.getByText('Run 1 of').waitFor()
    expect(user.taps - beforeRecheck).toBeLessThanOrEqual(3)
    await user.button('All clear')
    await timeAll(user, again)
    await user.button('Judge these runs within 3 %')
    await page.locator('.verdict').waitFor()
    const headline = await page.locator('.notice .strong').textContent()
    await page.reload()
    expect(await page.locator('.notice .strong').textContent()).toBe(headline)
    await expectNotWide(page, 'verdict')
    expect(await user.exportAs('CSV')).toMatch(/\.csv$/)
    store.close()
  })
})

/** Times all runs of the session: the first and the last by hand; those between come from another page. */
async function timeAll(user: PageUser, served: { readonly url: string }): Promise<void> {
  const { page } = user
  await user.timeOnce()
  await page.getByText('Run 2 of').waitFor()
  while ((await timeElsewhere(served)) > 1);
  // Before the page has heard of those, a run would be timed for a step that is done.
  await page.getByText(/^Run (\d+) of \1\b/).waitFor()
  await user.timeOnce()
  await page.getByText('All runs of this session are done').waitFor()
}

/** Times the next run of the session as another page would, where more than one is left; gives how many are left then. */
async function timeElsewhere(served: { readonly url: string }): Promise<number> {
  const { ask, tell } = pageApi(served)
  const { shown } = await ask<StartAnswer>('start')
  const { axisId, answer } = shown!
  const { id: sessionId, next, steps } = answer.session!
  const left = steps.filter(({ done }) => !done).length
  if (left <= 1) return left
  const { step, dial, direction } = next!
  await tell('stopwatch', {
    ...{ axisId, clientId: 'elsewhere', sequence: 100 * sessionId + step, dial, direction },
    ...{ distanceMm: 2 * FEED_IN_PER_S * 25.4, durationS: 2, marksS: [], step: { sessionId, step } },
    ...{ person: '', madeAt: new Date().toISOString(), clock: { before: [], after: [] } },
  })
  return left - 1
}
