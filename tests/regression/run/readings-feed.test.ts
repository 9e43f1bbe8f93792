import { linearRegression } from 'simple-statistics'
import { expect, test } from 'vitest'
import { readingsFeed, stopwatchFeed, type TimedReadingsOfRun } from '../../../src/regression/index.js'
import { seededRandom } from '../../../src/simulation/index.js'
import { howMany, leastShare } from '../../harness/proof-mode.js'

const PRESSED = { timeLastDigitS: 0.01, positionLastDigitMm: 0, pressed: true }

/** Lines passed every `everyMm` at `feedMmPerMin`, each press off by a normal error of its own. */
function timed(
  seed: number,
  lines: number,
  spreadS: number,
  everyMm = 50,
  feedMmPerMin = 180,
): TimedReadingsOfRun {
  const random = seededRandom(seed)
  const positionMm = Array.from({ length: lines }, (_, i) => i * everyMm)
  const timeS = positionMm.map(
    (mm) => Math.round(100 * ((60 * mm) / feedMmPerMin + random.normal(0, spreadS))) / 100,
  )
  return { ...PRESSED, timeS, positionMm }
}

const holds = ([low, high]: readonly [number, number], feed: number): boolean => low <= feed && feed <= high

test('the feed is the slope of the least-squares line, as simple-statistics 7.12 has it', () => {
  const run = timed(3, 6, 0.07)
  const { m } = linearRegression(run.timeS.map((at, i) => [at, run.positionMm[i]!]))
  expect(readingsFeed(run).feed.feedMmPerMin).toBeCloseTo(60 * m, 9)
  const back = {
    ...run,
    positionMm: run.positionMm.map((mm) => 900 - mm),
    timeS: run.timeS.map((at) => at + 1.7e9),
  }
  expect(readingsFeed(back).feed.feedMmPerMin).toBeCloseTo(60 * m, 6)
})

test('where nothing is known beforehand its uncertainty is that of an ordinary line', () => {
  // "Fitting a straight line", JCGM 100:2008, H.3: u(slope)² = s²/Σ(x − x̄)², s² = Σr²/(n − 2); worked here by hand.
  const timeS = [0, 10, 20, 30]
  const positionMm = [0, 31, 59, 90]
  const { feed } = readingsFeed({
    ...{ timeS, positionMm, timeLastDigitS: 1e-9, positionLastDigitMm: 1e-9, pressed: false },
    ...{ timingSpreadS: 1e-9, timingDegreesOfFreedom: 1e-6 },
  })
  // Slope 2.98 mm/s; residuals -0.3, 0.9, -0.9, 0.3; s² = 1.8/2; Σ(t − t̄)² = 500.
  expect(feed.feedMmPerMin).toBeCloseTo(60 * 2.98, 9)
  expect(feed.standardUncertaintyMmPerMin).toBeCloseTo(60 * Math.sqrt(0.9 / 500), 4)
  expect(feed.degreesOfFreedom).toBeCloseTo(2, 4)
})

test('two readings are as sure as a stopwatch entry over the same travel, but for the lines', () => {
  const { feed } = readingsFeed({ ...PRESSED, timeS: [12, 52], positionMm: [0, 200] })
  const entry = stopwatchFeed({
    distanceMm: 200,
    durationS: 40,
    distanceUncertaintyMm: (0.25 * Math.SQRT2) / Math.sqrt(3),
  })
  expect(feed.feedMmPerMin).toBeCloseTo(entry.feedMmPerMin, 9)
  // Ripple of the leadscrew, 0.011 mm, hardly counts beside lines that agree to 0.14 mm.
  expect(feed.standardUncertaintyMmPerMin / entry.standardUncertaintyMmPerMin).toBeCloseTo(1, 3)
  expect(feed.degreesOfFreedom).toBe(Number.POSITIVE_INFINITY)
})

test('coarse times, coarse positions and short travels widen the interval', () => {
  const run = { ...PRESSED, timeS: [0, 20], positionMm: [0, 60] }
  const u = (more: object): number => readingsFeed({ ...run, ...more }).feed.standardUncertaintyMmPerMin
  expect(u({ timeLastDigitS: 1 })).toBeGreaterThan(2 * u({}))
  expect(u({ positionLastDigitMm: 2 })).toBeGreaterThan(1.5 * u({}))
  const film = { timingSpreadS: 0.02, timingDegreesOfFreedom: 10, pressed: false }
  expect(u({ ...film, positionLastDigitMm: 0.01 })).toBeLessThan(0.4 * u({}))
  // A third of a turn of a usual leadscrew may lie anywhere on its ripple.
  const short = readingsFeed({ ...PRESSED, timeS: [0, 60], positionMm: [0, 1.5] }).feed
  expect(short.standardUncertaintyMmPerMin / short.feedMmPerMin).toBeGreaterThan(0.01)
})

test('an error of the clock is an error of the whole time, whatever the number of readings', () => {
  const share = (run: TimedReadingsOfRun): number => {
    const { feed } = readingsFeed(run)
    return feed.standardUncertaintyMmPerMin / feed.feedMmPerMin
  }
  for (const lines of [2, 3, 7]) {
    const run = timed(21, lines, 0.07)
    const forS = run.timeS.at(-1)! - run.timeS[0]!
    const off = share({ ...run, clockUncertaintyS: 0.4 })
    expect(off ** 2 - share(run) ** 2).toBeCloseTo((0.4 / forS) ** 2, 12)
  }
})

test('ripple that nobody sees widens the interval of a slow film, and makes no steady travel unsteady', () => {
  // A film of a table at 12 mm/min on a leadscrew of 5 mm with 3 % of ripple: each position is up to 0.024 mm off.
  const offMm = (at: number): number => ((0.03 * 5) / (2 * Math.PI)) * Math.sin((2 * Math.PI * at) / 5)
  const timeS = [0, 6, 13, 18, 26, 30]
  const positionMm = timeS.map((at) => 0.2 * at + offMm(0.2 * at + 1))
  const film = { timeLastDigitS: 0.001, positionLastDigitMm: 0.001, timingSpreadS: 0.02, pressed: false }
  const { feed, unsteady } = readingsFeed({ ...film, timeS, positionMm, timingDegreesOfFreedom: 20 })
  expect(unsteady).toBeNull()
  expect(holds(feed.interval95MmPerMin, 12)).toBe(true)
  const fast = readingsFeed({
    ...{ ...film, timeS, positionMm: timeS.map((at) => 8 * at), timingDegreesOfFreedom: 20 },
  }).feed
  const share = (one: typeof feed): number => one.standardUncertaintyMmPerMin / one.feedMmPerMin
  expect(share(feed)).toBeGreaterThan(2 * share(fast))
})

const RUNS = howMany(500, 5000)
test.each([
  { who: 'a usual person, splits at three lines', lines: 3, spreadS: 0.07 },
  { who: 'a usual person, splits at six lines', lines: 6, spreadS: 0.07 },
  { who: 'a slow hand, splits at three lines', lines: 3, spreadS: 0.12 },
  { who: 'a slow hand, splits at eight lines', lines: 8, spreadS: 0.12 },
  { who: 'a sure hand, splits at four lines', lines: 4, spreadS: 0.05 },
])('$who: the interval holds the feed', ({ lines, spreadS }) => {
  const fits = Array.from({ length: RUNS }, (_, seed) => readingsFeed(timed(1000 + seed, lines, spreadS)))
  const inside = fits.filter(({ feed }) => holds(feed.interval95MmPerMin, 180)).length
  expect(inside / RUNS).toBeGreaterThan(leastShare(0.945, RUNS))
  // Of sound runs hardly one is taken for unsteady.
  expect(fits.filter(({ unsteady }) => unsteady !== null).length / RUNS).toBeLessThan(0.01)
})

test('many readings of a film teach how sure they are: the interval holds, several times narrower than by presses', () => {
  const film = (seed: number): TimedReadingsOfRun => {
    const random = seededRandom(seed)
    const timeS = Array.from({ length: 12 }, (_, i) => 3 * i)
    // Shown since the last refresh, 8 a second, and filmed at 30 frames a second.
    const positionMm = timeS.map((at) => 3 * (at - random.uniform() / 8 - random.uniform() / 30))
    return {
      timeS,
      positionMm,
      timeLastDigitS: 0.01,
      positionLastDigitMm: 0.005,
      pressed: false,
      timingSpreadS: 0.04,
      timingDegreesOfFreedom: 10,
    }
  }
  const fits = Array.from({ length: RUNS }, (_, seed) => readingsFeed(film(seed)).feed)
  expect(fits.filter((feed) => holds(feed.interval95MmPerMin, 180)).length / RUNS).toBeGreaterThan(
    leastShare(0.945, RUNS),
  )
  const press = readingsFeed(timed(1, 2, 0, 99)).feed
  const widths = fits.map(({ interval95MmPerMin: [low, high] }) => high - low).sort((a, b) => a - b)
  expect(widths[RUNS / 2]! / (press.interval95MmPerMin[1] - press.interval95MmPerMin[0])).toBeLessThan(0.5)
})

test('a digit misread is not taken for steady travel, and the reading is named', () => {
  const run = timed(5, 6, 0.07)
  const misread = { ...run, timeS: run.timeS.map((at, i) => (i === 3 ? at + 1 : at)) }
  const { unsteady } = readingsFeed(misread)
  expect(unsteady?.reading).toBe(3)
  expect(unsteady?.lateS).toBeGreaterThan(0.7)
  expect(readingsFeed(run).unsteady).toBeNull()
  // A feed that fell by a tenth midway.
  const slowed = { ...PRESSED, timeS: [0, 20, 42.2], positionMm: [0, 60, 120] }
  expect(readingsFeed(slowed).unsteady).not.toBeNull()
})

test('one reading gives no feed', () => {
  expect(() => readingsFeed({ ...PRESSED, timeS: [1], positionMm: [1] })).toThrow(RangeError)
})

// Each end within a half width, rectangular (JCGM 100:2008, 4.3.7): u = a/√3 mm, and √2 of that over 200 mm.
test.each([
  ['lines passed', 0, 0.25],
  ['a scale read to half a millimetre', 0.5, 0.25],
  ['a scale read to whole ones', 1, 0.5],
])('%s at known times leave what a reading of the position does', (_, positionLastDigitMm, halfWidthMm) => {
  const { feed } = readingsFeed({
    ...{ timeS: [0, 40], positionMm: [0, 200], timeLastDigitS: 1e-9, positionLastDigitMm, pressed: false },
    ...{ timingSpreadS: 1e-9, timingDegreesOfFreedom: Number.POSITIVE_INFINITY },
  })
  const share = (Math.SQRT2 * halfWidthMm) / Math.sqrt(3) / 200
  // The ripple of the leadscrew, 0.011 mm, adds a third of a percent.
  expect(feed.standardUncertaintyMmPerMin / feed.feedMmPerMin / share).toBeCloseTo(1, 2)
})
