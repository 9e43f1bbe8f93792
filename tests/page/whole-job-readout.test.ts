import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { openStore } from '../../src/store/index.js'
import { hasBrowser, openBrowser } from '../harness/browser.js'
import { playedTime } from '../harness/live/played-time.js'
import { readoutForTest } from '../harness/live/pty-readout.js'
import { makeRun } from '../harness/make-run.js'
import { expectAboveTheFoldAtBothSizes, expectInOrderAtBothSizes } from '../harness/page-state.js'
import { PageUser } from '../harness/page-user.js'
import { temporaryFolder } from '../harness/program.js'
import { serveProgramIn } from '../harness/serve-program.js'

describe.skipIf(!hasBrowser)('the whole job beside a readout, without a terminal', () => {
  it('goes on a phone from an empty store to a printed card, a recheck and an export, and fits a laptop all the way', async () => {
    const time = playedTime()
    const device = readoutForTest({ time })
    const path = join(temporaryFolder(), 'store.db')
    const served = await serveProgramIn(time.env, path, '--readout-port', device.path)
    const browser = await openBrowser()
    const user = await PageUser.open(browser, 'phone', served.url)
    const { page } = user
    const button = (name: string | RegExp) => page.getByRole('button', { name })
    const instruction = page.locator('.instruction')

    await user.fill('Machine name', 'Bench')
    await user.fill('Travel', '21in')
    await user.fill('Marks', '9')
    await user.button('Add machine')
    await page.getByRole('heading', { name: 'Feeds of X' }).waitFor()
    const store = openStore(path, { mode: 'read' })
    const [{ id: axisId } = { id: 0 }] = store.axes.list(store.machines.byName('Bench').id)

    await user.goTo('Measure')
    await page.getByRole('radio', { name: 'readout' }).check()
    await user.press(page.getByText('Change how'))
    await page.getByRole('radio', { name: /All marks twice/ }).check()
    await user.button('Begin')
    await page.getByText('0 of 4 runs').waitFor()
    await expectInOrderAtBothSizes(page, 'no readout yet', instruction, button('Connect'))
    await user.fill('Port', device.path)
    await user.press(page.getByText('Speed and profile'))
    await page.getByLabel('Speed, baud').selectOption('115200')
    await user.button('Connect')
    await page.getByText('Following, not recording').waitFor()
    await expectAboveTheFoldAtBothSizes(page, instruction, button('Go on with the session'))
    // Nothing is recorded before the cautions are agreed to.
    await user.button('Go on with the session')
    await page.getByText('Spindle off').waitFor()
    await expectAboveTheFoldAtBothSizes(page, button('All clear'))
    expect(store.recordings.list(axisId)).toHaveLength(0)
    await user.button('All clear')
    await page.getByText('start the feed when ready').waitFor()
    await expectAboveTheFoldAtBothSizes(page, instruction, button('Stop recording'))
    const truths = []
    const whileItMoves = async (): Promise<void> => {
      await page.getByText('the table moves').waitFor()
      await expectInOrderAtBothSizes(page, 'the table moves', instruction, button('Stop recording'))
    }
    for (const [index, direction] of ([1, -1, 1, -1] as const).entries()) {
      await page.getByText(`Run ${index + 1} of 4`).waitFor()
      const meanwhile = index === 1 ? { meanwhile: { atS: 6, work: whileItMoves } } : {}
      const run = { dial: 9, direction, seed: 40 + index, travelS: 10.5, ...meanwhile }
      truths.push(await makeRun(page, device, run))
    }
    await page.getByText('All runs of this session are done.').waitFor()
    const runs = store.runs.list(axisId).filter((run) => run.accepted)
    expect(runs.map((run) => run.direction)).toEqual([1, -1, 1, -1])
    for (const [index, run] of runs.entries()) {
      // In played time; how well a real host stamps is tested elsewhere.
      expect(Math.abs(run.feed!.feedMmPerMin / truths[index]!.runFeedMmPerMin - 1)).toBeLessThan(0.002)
    }
    await expectAboveTheFoldAtBothSizes(page, button('Make the table'))
    // A readout that says nothing has no figures.
    const readings = page.locator('.readings dd')
    await expect.poll(() => readings.first().textContent()).toMatch(/in$/)
    await device.startTime()(6)
    await page.getByText('The readout says nothing just now').waitFor()
    await expect.poll(() => readings.allTextContents()).toEqual(['–', '–'])
    await expectInOrderAtBothSizes(page, 'session done, and the readout is silent')

    await user.button('Make the table')
    await page.getByText('Dial 9 gives').waitFor()
    expect(store.sessions.inProgress(axisId)).toBeNull()
    expect(store.tables.list(axisId).map((table) => table.reason)).toEqual([
      'calibration: quick',
      'calibration: quick',
    ])
    await user.printCard()

    await user.goTo('Check')
    await user.fill('What was done to the machine', 'belt changed')
    await user.button('Plan the runs')
    await page.getByText('Run 1 of').waitFor()
    await user.button('Go on with the session')
    await user.button('All clear')
    const { steps } = store.sessions.inProgress(axisId)!.plan as { steps: { direction: 1 | -1 }[] }
    for (const [index, { direction }] of steps.entries()) {
      await page.getByText(`Run ${index + 1} of`).waitFor()
      await makeRun(page, device, { dial: 9, direction, seed: 60 + index, travelS: 20.5 })
    }
    await page.getByText('All runs of this session are done.').waitFor()
    await user.button('Judge these runs within 3 %')
    await page.locator('.verdict').waitFor()
    expect(store.history.rechecks(axisId).map(({ reason }) => reason)).toEqual(['belt changed'])
    await expectInOrderAtBothSizes(page, 'verdict')
    expect(await user.exportAs('Table document')).toMatch(/\.json$/)
    store.close()
  })
})
