import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { axeFindings } from '../harness/axe.js'
import { hasBrowser, LAPTOP, openBrowser, openPage, servedStore } from '../harness/browser.js'
import { programOn, temporaryFolder } from '../harness/program.js'

/** Eight marks, three timings each over 6 in; the second one at dial 3 was made with the dial at 4. */
const ROWS = [10, 9, 8, 7, 6, 5, 4, 3].flatMap((dial) =>
  [0, 1, 2].map((k) => {
    const set = dial === 3 && k === 1 ? 4 : dial
    return `${dial},+,6,${((60 * 6) / (2 * set) + 0.13 * (k - 1) + 0.05 * Math.sin(9 * dial + k)).toFixed(2)}`
  }),
)

describe.skipIf(!hasBrowser)('an odd run on the page', () => {
  it('is named among the runs and offered to be made again, which leaves it out', async () => {
    const { store, axisId, served } = await servedStore([3, 4, 5, 6, 7, 8, 9, 10])
    const sheet = join(temporaryFolder(), 'sheet.csv')
    writeFileSync(sheet, `dial,direction,distance,time\n${ROWS.join('\n')}\n`)
    await programOn(store.path).json('traverse', '--from', sheet)
    const browser = await openBrowser()
    const page = await openPage(browser, LAPTOP, `${served.url}#/record`)

    await page.getByText('odd beside the other runs').waitFor()
    const again = page.getByRole('button', { name: /Make it again: the run at dial 3/ })
    expect(await again.count()).toBe(1)
    expect(await axeFindings(page)).toEqual([])
    await again.click()
    await page.getByText('left out: odd; to be made again').waitFor()
    expect(await again.count()).toBe(0)
    expect(await page.getByText('odd beside the other runs').count()).toBe(0)
    expect(store.runs.list(axisId).flatMap(({ dial, dropReason }) => (dropReason ? [dial] : []))).toEqual([3])
    await page.getByRole('button', { name: /Put back the run at dial 3/ }).click()
    await page.getByText('odd beside the other runs').waitFor()
  })
})
