import { spawn, spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { chromium } from 'playwright-core'

const PROGRAM = fileURLToPath(new URL('../dist/tablepace.js', import.meta.url))

/** The built program that serves the demo's store, at `url`, and a real Chromium to look at it; `end` ends both. */
export async function demoPage() {
  const folder = mkdtempSync(join(tmpdir(), 'tablepace-page-'))
  const store = join(folder, 'store.db')
  spawnSync(process.execPath, [PROGRAM, 'demo', '--store', store], { stdio: 'ignore' })
  const serving = spawn(process.execPath, [PROGRAM, '--store', store, 'serve', '--json', '--port', '0'])
  const told = await new Promise((said) => serving.stdout.once('data', said))
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: ['--no-sandbox'],
  })
  const end = async () => {
    await browser.close()
    serving.kill('SIGINT')
    rmSync(folder, { recursive: true, force: true })
  }
  return { url: JSON.parse(String(told)).url, browser, end }
}
