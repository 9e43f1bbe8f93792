// Makes the pictures of the page in fixtures/page: the built program on the demo's store, with a simulated readout on a
// pseudo-terminal, in a real Chromium. Run it by hand after the page has changed:
//   npm run build && node scripts/page-screenshots.js
import { spawn, spawnSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import * as pty from '@lydell/node-pty'
import { chromium } from 'playwright-core'
import { bundled } from './bundled.js'

const PROGRAM = fileURLToPath(new URL('../dist/tablepace.js', import.meta.url))
const PICTURES = fileURLToPath(new URL('../fixtures/page', import.meta.url))
const LAPTOP = { viewport: { width: 1000, height: 760 } }
const PHONE = {
  viewport: { width: 360, height: 740 },
  deviceScaleFactor: 1.5,
  isMobile: true,
  hasTouch: true,
}

const { QUILLFEN_MILL, readoutLines, simulateRun } = await bundled(
  "export * from './src/simulation/index.js'",
)
const folder = mkdtempSync(join(tmpdir(), 'tablepace-page-'))
const store = join(folder, 'store.db')
mkdirSync(PICTURES, { recursive: true })
spawnSync(process.execPath, [PROGRAM, 'demo', '--store', store], { stdio: 'ignore' })
const terminal = pty.spawn('sleep', ['1000'], { encoding: null })
const serving = spawn(process.execPath, [
  ...[PROGRAM, '--store', store, 'serve', '--json', '--port', '0'],
  ...['--readout-port', terminal._pty],
])
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: ['--no-sandbox'],
})
try {
  const { url } = JSON.parse(String(await new Promise((told) => serving.stdout.once('data', told))))
  await still(url, LAPTOP, 'light', 'feeds')
  await still(url, PHONE, 'dark', 'feeds', 'feeds-phone')
  await still(url, LAPTOP, 'light', 'card')
  await record(url)
  await stopwatch(url)
  await plan(url)
  await recheck(url)
  await cut(url)
} finally {
  await browser.close()
  serving.kill('SIGINT')
  terminal.kill()
  rmSync(folder, { recursive: true, force: true })
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

/** A traverse as it is followed, and judged a moment ago. */
async function record(url) {
  const page = await open(url, LAPTOP, 'light', 'record')
  await page.getByLabel('Port', { exact: true }).fill(terminal._pty)
  await page.getByText('Speed and profile').click()
  await page.getByLabel('Speed, baud').selectOption('115200')
  await page.getByRole('button', { name: 'Connect' }).click()
  await page.getByRole('button', { name: '7', exact: true }).click()
  await page.getByRole('button', { name: 'Record this run' }).click()
  await page.getByRole('button', { name: 'All clear' }).click()
  await play({ dial: 7, direction: 1, seed: 5 })
  await page.locator('.take .result').waitFor()
  await page.evaluate('scrollTo(0, 0)')
  await page.screenshot({ path: join(PICTURES, 'record.png'), fullPage: false })
  await page.getByRole('button', { name: 'Disconnect' }).click()
  await page.context().close()
}

async function play({ dial, direction, seed }) {
  const drivenMm = (QUILLFEN_MILL.curve(dial) * 12) / 60
  const { motion } = simulateRun(
    QUILLFEN_MILL,
    { dial, direction, drivenMm, restBeforeS: 3, restAfterS: 5 },
    seed,
  )
  const readout = {
    ...{ shape: { kind: 'labelled', axis: 'X' }, unit: 'in', stepMm: 0.0002 * 25.4, refreshHz: 30 },
    ...{ deviceTime: null, terminator: '\r\n', faults: {} },
  }
  const startedMs = performance.now()
  for (const { sampledS, bytes } of readoutLines(motion, readout, seed)) {
    const waitMs = 1000 * sampledS - (performance.now() - startedMs)
    if (waitMs > 0) await sleep(waitMs)
    terminal.write(Buffer.from(bytes))
  }
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
  await page.getByText('Change how').tap()
  await page.getByRole('radio', { name: /by stopwatch, up/ }).check()
  await page.getByRole('button', { name: 'Begin' }).tap()
  await page.getByRole('button', { name: 'All clear' }).tap()
  await page.getByText('0 of 60 runs').waitFor()
  await save(page, 'plan-phone')
}

async function recheck(url) {
  const page = await open(url, LAPTOP, 'light', 'recheck')
  await page.getByLabel('What was done').fill('gibs adjusted')
  await page.getByRole('button', { name: 'Plan the runs' }).click()
  await page.locator('progress').waitFor()
  await save(page, 'recheck')
}

async function cut(url) {
  const page = await open(url, LAPTOP, 'dark', 'cut')
  await page.getByLabel('Diameter of the cutter').fill('0.5')
  await page.getByLabel('Teeth').fill('4')
  await page.getByLabel('Work material').selectOption({ index: 1 })
  await page.getByLabel('Width of cut').fill('0.1')
  await page.getByLabel('Depth of cut').fill('0.25')
  await page.getByRole('button', { name: 'Work it out' }).click()
  await page.locator('.figures').waitFor()
  await save(page, 'cut')
}
