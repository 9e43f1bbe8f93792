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

/** What a page is shown on. */
type Device = typeof LAPTOP | typeof PHONE

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
  ...['AimEnabled', 'PreconnectToSearch', 'LensOverlay', 'HttpsFirstBalancedModeAutoEnable'],
]

/** A page is drawn in one piece: in many small ones a change of view takes a quarter more processor time. */
const LARGE_TILES = ['--default-tile-width=2048', '--default-tile-height=2048']

let standing: Promise<Browser> | undefined

/** The browser of this worker, which stands by for all its tests and ends with it. */
export async function openBrowser(): Promise<Browser> {
  // Without a user namespace, as in containers, Chromium has no sandbox; it sees our own page alone. There is no screen
  // to draw for, so a process that plays a graphics card would only take time.
  standing ??= chromium.launch({
    executablePath: CHROMIUM,
    args: ['--no-sandbox', '--disable-gpu', ...LARGE_TILES, `--disable-features=${SWITCHED_OFF.join(',')}`],
  })
  if (!(await standing).isConnected()) {
    standing = undefined
    standingBy.clear()
    return openBrowser()
  }
  return standing
}

/**
 * Pages that stand by, of each device. A page is a window to Chromium: a new one takes it half a second of processor time,
 * and to open another address in one that stands takes a third of that.
 */
const standingBy = new Map<object, Page[]>()

/**
 * A page that nothing is left of from other tests; it fails the test where a script of it fails or the security policy
 * refuses something. It stands by for other tests when this one is over, unless the test closes it. A script for every
 * load is the test's to take back.
 */
export async function openPage(browser: Browser, device: Device, url: string): Promise<Page> {
  const page = standingBy.get(device)?.pop() ?? (await (await browser.newContext(device)).newPage())
  page.setDefaultTimeout(PATIENCE_MS)
  onTestFinished(({ task }) => putAside(page, device, task.result?.state === 'pass'))
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

/** Lets a page stand by, with all put back that a test may have changed; after a test that failed it goes. */
async function putAside(page: Page, device: Device, isSound: boolean): Promise<void> {
  if (page.isClosed()) return
  const context = page.context()
  if (!isSound) return await context.close()
  for (const event of ['pageerror', 'console', 'request'] as const) page.removeAllListeners(event)
  await page.unrouteAll({ behavior: 'wait' })
  await context.setOffline(false)
  await context.clearCookies()
  await page.evaluate('localStorage.clear(); sessionStorage.clear()')
  await page.emulateMedia({ colorScheme: null })
  await page.setViewportSize(device.viewport)
  await page.goto('about:blank')
  const others = standingBy.get(device) ?? []
  standingBy.set(device, [...others, page])
}
