import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { type Browser, chromium, type Page } from 'playwright-core'
import { onTestFinished } from 'vitest'
import { type ServedPage, servePage } from '../../src/page/index.js'
import { openStore, type Store } from '../../src/store/index.js'
import { temporaryFolder } from './program.js'
import { type ServingProgram, serveProgramIn } from './serve-program.js'

/** Where a Chromium is; `CHROMIUM` names another. */
const CHROMIUM = process.env.CHROMIUM ?? '/usr/bin/chromium'

/** Whether the tests in a browser can run here; without one they are skipped, and this says so. */
export const hasBrowser = existsSync(CHROMIUM)
if (!hasBrowser) {
  console.warn(`No browser at ${CHROMIUM}: its tests are skipped. Install chromium, or name one in CHROMIUM.`)
}

/** Far beyond what anything takes to be shown: it ends what hangs, and judges no machine's speed. */
const PATIENCE_MS = 120_000

export const LAPTOP = { viewport: { width: 1280, height: 800 } } as const
export const PHONE = {
  viewport: { width: 360, height: 740 },
  isMobile: true,
  hasTouch: true,
} as const

/** A real store that is served, with one machine and one axis in it. */
export interface ServedStore {
  readonly store: Store
  readonly axisId: number
  readonly served: ServedPage
}

/** Serves an inch machine with the marks named, within this process; `host` opens it to that address as well. */
export async function servedStore(
  marks: readonly number[],
  host: string | null = null,
  readoutPorts: readonly string[] = [],
): Promise<ServedStore> {
  const { store, axisId } = inchStore(marks)
  const served = await servePage(store, { port: 0, host, readoutPorts })
  onTestFinished(async () => {
    await served.close()
    store.close()
  })
  return { store, axisId, served }
}

/** A store with an inch machine, served by the program itself: what it stamps is not held up by the test. */
export async function storeServedByProgram(
  marks: readonly number[],
  env: Readonly<Record<string, string>>,
  ...args: string[]
): Promise<{ store: Store; axisId: number; served: ServingProgram }> {
  const { store, axisId } = inchStore(marks)
  const served = await serveProgramIn(env, store.path, ...args)
  onTestFinished(() => store.close())
  return { store, axisId, served }
}

function inchStore(marks: readonly number[]): { store: Store; axisId: number } {
  const store = openStore(join(temporaryFolder(), 'store.db'), { mode: 'write' })
  const at = new Date().toISOString()
  const machine = store.machines.add({ name: 'Bench <1>', unit: 'in', spindleRpm: [] }, at)
  const axis = store.axes.add(
    machine.id,
    {
      ...{ name: 'X', travelMm: 21 * 25.4, dialMin: 0, dialMax: 10, marks },
      ...{ stepped: false, leadscrewPitchMm: null, dialClicks: false },
    },
    at,
  )
  return { store, axisId: axis.id }
}

/**
 * Features of Chromium that are switched off: the process that it keeps ready for a page to come, which each new page
 * would start; and, as the last list of this option is the one that counts, those that Playwright switches off so that
 * nothing of them comes between.
 */
const SWITCHED_OFF = [
  'SpareRendererForSitePerProcess',
  ...[
    'AvoidUnnecessaryBeforeUnloadCheckSync',
    'DestroyProfileOnBrowserClose',
    'HttpsUpgrades',
    'MediaRouter',
  ],
  ...['PaintHolding', 'ThirdPartyStoragePartitioning', 'OptimizationHints', 'NetworkTimeServiceQuerying'],
]

let standing: Promise<Browser> | undefined

/** The browser of this worker, which stands by for all its tests and ends with it; each page has a context of its own. */
export async function openBrowser(): Promise<Browser> {
  // Without a user namespace, as in containers, Chromium has no sandbox; it sees our own page alone. There is no screen
  // to draw for, so a process that plays a graphics card would only take time.
  standing ??= chromium.launch({
    executablePath: CHROMIUM,
    args: ['--no-sandbox', '--disable-gpu', `--disable-features=${SWITCHED_OFF.join(',')}`],
  })
  if (!(await standing).isConnected()) {
    standing = undefined
    return openBrowser()
  }
  return standing
}

/** A page of its own, which fails the test where a script of it fails or the security policy refuses something. */
export async function openPage(browser: Browser, device: object, url: string): Promise<Page> {
  const context = await browser.newContext(device)
  onTestFinished(() => context.close())
  const page = await context.newPage()
  page.setDefaultTimeout(PATIENCE_MS)
  const failures: string[] = []
  page.on('pageerror', (error) => failures.push(error.message))
  page.on('console', (message) => {
    if (/Content Security Policy/.test(message.text())) failures.push(message.text())
  })
  onTestFinished(() => {
    if (failures.length > 0) throw new Error(`the page failed: ${failures.join('; ')}`)
  })
  await page.goto(url)
  return page
}
