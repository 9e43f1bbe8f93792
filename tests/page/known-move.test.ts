import { describe, expect, it, onTestFinished } from 'vitest'
import { axeFindings } from '../harness/axe.js'
import { hasBrowser, LAPTOP, openBrowser, openPage, servedStore } from '../harness/browser.js'
import { readoutForTest } from '../harness/live/pty-readout.js'

describe.skipIf(!hasBrowser)('a known move on the page', () => {
  it('shows that the bare numbers of a readout are mm on an inch machine', async () => {
    const device = readoutForTest()
    let positionMm = 0
    const sending = setInterval(() => device.write(`X+${positionMm.toFixed(3).padStart(7, '0')}\r\n`), 25)
    onTestFinished(() => clearInterval(sending))
    const { served } = await servedStore([4, 8], null, [device.path])
    const browser = await openBrowser()
    const page = await openPage(browser, LAPTOP, `${served.url}#/record`)

    await page.getByLabel('Port', { exact: true }).fill(device.path)
    await page.getByRole('button', { name: 'Connect' }).click()
    await page.getByRole('heading', { name: 'Are the numbers in or mm?' }).waitFor()
    expect(await axeFindings(page)).toEqual([])
    const moved = page.getByLabel('Moved', { exact: true })
    const compare = page.getByRole('button', { name: 'Compare' })
    const position = page.locator('.readings dd').first()
    await expect.poll(() => position.textContent()).toMatch(/^0\.0/)
    await moved.fill('0.5in')
    await compare.click()
    await page.getByText('The readout did not move.').waitFor()
    await moved.fill('1 turn')
    await compare.click()
    await page.getByText('The pitch of this leadscrew is not known.').waitFor()

    // Taken for inches as yet.
    positionMm = 12.72
    await expect.poll(() => position.textContent()).toMatch(/^12\.7/)
    await moved.fill('0.5in')
    await compare.click()
    await page.getByText(/The readout moved by 12.7\d* mm: its numbers are mm\./).waitFor()
    await expect.poll(() => position.textContent()).toMatch(/^0\.50/)
    expect(await page.getByRole('heading', { name: 'Are the numbers in or mm?' }).count()).toBe(0)
  })
})
