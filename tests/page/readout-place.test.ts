import { describe, expect, it, onTestFinished } from 'vitest'
import { hasBrowser, openBrowser, servedStore } from '../harness/browser.js'
import { sendingReadout } from '../harness/live/sending-readout.js'
import { expectInOrder, openView } from '../harness/page-state.js'
import { PageUser } from '../harness/page-user.js'
import { temporaryFolder } from '../harness/program.js'

describe.skipIf(!hasBrowser)('a readout nobody knows yet, on a phone', () => {
  it('is learned by a move, connected as it was learned, and shown with what it sends', async () => {
    const usual = process.env.XDG_DATA_HOME
    process.env.XDG_DATA_HOME = temporaryFolder()
    onTestFinished(() => {
      if (usual === undefined) delete process.env.XDG_DATA_HOME
      else process.env.XDG_DATA_HOME = usual
    })
    // Before the readout: a child that were started later would hold its cable.
    const browser = await openBrowser()
    const readout = sendingReadout((mm) => `Q${(-3.1).toFixed(3)} R${(mm / 25.4).toFixed(4)}`)
    const { store, axisId, served } = await servedStore([2], null, [readout.path])
    const user = await PageUser.open(browser, 'phone', `${served.url}#/machine/readout`)
    const { page } = user

    await page.getByText('None is connected').waitFor()
    await page.getByLabel('Port to listen to').selectOption(readout.path)
    await user.fill('Speed, baud', '9600')
    await user.button(/^Listen$/)
    await page.getByText('fits.').waitFor()
    await expectInOrder(page, 'heard')
    await user.fill('Length of the move', '-1')
    await user.button('I am about to move it')
    await page
      .getByText(/^Length of the move/)
      .nth(1)
      .waitFor()
    await expectInOrder(page, 'a length that is none')
    await user.fill('Length of the move', '1in')
    await user.button('I am about to move it')
    // A rest to begin with, then the move, then the rest that ends it: each is seen in the numbers.
    const row = page.getByRole('row').filter({ hasText: 'labelled R' })
    await row.waitFor()
    await readout.sent(70)
    readout.moveMm(25.4)
    await expect
      .poll(async () => Number(await row.getByRole('cell').last().textContent()))
      .toBeGreaterThan(0.999)
    await expectInOrder(page, 'moved')
    await readout.sent(70)
    await user.button('It rests again')
    await page.getByText(/The axis is the number labelled R/).waitFor()
    await expectInOrder(page, 'learned')
    await user.fill('Name of the profile', 'bench-readout')
    await user.button('Keep it')
    await page.getByText('What was learned').waitFor({ state: 'hidden' })

    // Port and profile are those just learned.
    await openView(page, 'measure/record')
    await user.button('Connect')
    await page.getByText('Following, not recording').waitFor()
    await openView(page, 'machine/readout')
    const figure = (name: string) => page.locator('.figures div').filter({ hasText: name })
    await figure('Position')
      .getByText(/^1\.47/)
      .waitFor()
    readout.moveMm(12.7)
    await figure('Position')
      .getByText(/^1\.97/)
      .waitFor()
    await figure('Travel watched').getByText(/^0\.5/).waitFor()
    await figure('Readings a second')
      .getByText(/\d came/)
      .waitFor()
    await page.getByText('connected: this page follows it').waitFor()
    await expectInOrder(page, 'what it sends')

    // Under what conditions runs are made is said once, and goes with each run.
    await openView(page, 'measure/stopwatch')
    await user.button('All clear')
    await user.press(page.getByText('Conditions of the runs'))
    await user.fill('Load', 'vise on the table')
    await user.fill('Gearing', 'low')
    await expectInOrder(page, 'conditions')
    await page.reload()
    await user.button('All clear')
    await page.getByText('Conditions of the runs: load vise on the table, gearing low').waitFor()
    await user.button(/^2$/)
    await user.fill(/^Distance between/, '2')
    await user.startAndStop()
    await user.button(/^Keep/)
    await page.locator('.take .strong, .take .notice').first().waitFor()
    expect(store.runs.list(axisId).map(({ tags }) => tags)).toEqual([
      { load: 'vise on the table', gearing: 'low' },
    ])
  })
})
