// Measures how long the page takes to its first view: the built program on the demo's store, in a real Chromium that
// keeps nothing from one visit to the next. Run it at a quiet moment:
//   npm run build && node scripts/first-view.js
import { demoPage } from './demo-page.js'

const VISITS = 15
/** What is to be read in the first view: the answer, not its frame. */
const ANSWER = '.answer .strong'

const { url, browser, end } = await demoPage()
try {
  const visits = []
  for (let visit = 0; visit < VISITS; visit++) visits.push(await visited(url))
  for (const name of Object.keys(visits[0])) {
    const sorted = visits.map((one) => one[name]).sort((a, b) => a - b)
    const [least, median, most] = [sorted[0], sorted[Math.floor(VISITS / 2)], sorted[VISITS - 1]]
    console.log(`${name.padEnd(30)} ${median} ms (${least} to ${most})`)
  }
} finally {
  await end()
}

/** One visit by a browser that was never here; times are ms since the address was entered. */
async function visited(url) {
  const context = await browser.newContext()
  const page = await context.newPage()
  await page.addInitScript((answer) => {
    const look = () => {
      if (document.querySelector(answer) === null) requestAnimationFrame(look)
      // Drawn with the frame after the one that finds it.
      else
        requestAnimationFrame(() => {
          globalThis.shownMs = performance.now()
        })
    }
    requestAnimationFrame(look)
  }, ANSWER)
  await page.goto(url)
  await page.locator(ANSWER).first().waitFor()
  const times = await page.evaluate(async () => {
    while (globalThis.shownMs === undefined) await new Promise((drawn) => requestAnimationFrame(drawn))
    const got = (path) => performance.getEntriesByType('resource').find((one) => one.name.includes(path))
    const ended = (path) => Math.round(got(path)?.responseEnd ?? Number.NaN)
    return {
      'script is here': ended('/page.js'),
      'machines, tables, runs are here': ended('/api/start'),

      'first view is drawn': Math.round(globalThis.shownMs),
    }
  })
  await context.close()
  return times
}
