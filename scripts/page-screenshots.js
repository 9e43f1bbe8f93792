// Makes the pictures of the page in fixtures/page: the built program on the demo's store in a real Chromium. Run it by
// hand after the page has changed:
//   npm run build && node scripts/page-screenshots.js
import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import { demoPage } from './demo-page.js'

const PICTURES = fileURLToPath(new URL('../fixtures/page', import.meta.url))
const LAPTOP = { viewport: { width: 1000, height: 760 } }
const PHONE = {
  viewport: { width: 360, height: 740 },
  deviceScaleFactor: 1.5,
  isMobile: true,
  hasTouch: true,
}

mkdirSync(PICTURES, { recursive: true })
const { url, browser, end } = await demoPage()
try {
  await still(url, LAPTOP, 'light', 'feeds')
  await still(url, PHONE, 'dark', 'feeds', 'feeds-phone')
  await still(url, LAPTOP, 'light', 'card')
  await stopwatch(url)
  await plan(url)
  await recheck(url)
} finally {
  await end()
}

async function open(url, device, colorScheme, view) {
  const context = await browser.newContext({ ...device, colorScheme })
  const page = await context.newPage()
  await page.goto(`${url}#/${view}`)
  await page.locator('main h1').waitFor()
  await sleep(500)
  return page
}

async function save(page, name) {
  await page.screenshot({ path: join(PICTURES, `${name}.png`) })
  await page.context().close()
}

async function still(url, device, colorScheme, view, name = view) {
  await save(await open(url, device, colorScheme, view), name)
}

async function stopwatch(url) {
  const page = await open(url, PHONE, 'light', 'stopwatch')
  await page.getByRole('button', { name: 'All clear' }).tap()
  await page.getByRole('button', { name: '4', exact: true }).tap()
  await page.getByLabel('Distance between the lines').fill('2')
  await page.getByRole('button', { name: /^Start/ }).tap()
  await sleep(12_300)
  await save(page, 'stopwatch-phone')
}

async function plan(url) {
  const page = await open(url, PHONE, 'dark', 'plan')
  await page.getByRole('radio', { name: 'stopwatch', exact: true }).check()
  await page.getByRole('button', { name: 'Begin' }).tap()
  await page.getByRole('button', { name: 'All clear' }).tap()
  await page.locator('progress').waitFor()
  await save(page, 'plan-phone')
}

async function recheck(url) {
  const page = await open(url, LAPTOP, 'light', 'recheck')
  await page.getByLabel('What was done').fill('gibs adjusted')
  await page.getByRole('button', { name: 'Plan the runs' }).click()
  await page.locator('progress').waitFor()
  await page.getByText('Looking for ports').waitFor({ state: 'hidden' })
  await save(page, 'recheck')
}
