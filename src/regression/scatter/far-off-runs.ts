import { median } from 'simple-statistics'
import { forecastMark, type KnownMark } from '../curve/mark-forecast.js'
import type { RunEvidence } from '../feed-table.js'
import { creepLimit } from './mark-group.js'

/** A run so far from what the other runs lead one to expect that something went wrong with it. */
export interface FarOffRun {
  /** The run, or the runs at one dial of which one is wrong and nothing tells which. */
  readonly runs: readonly [RunEvidence, ...RunEvidence[]]
  /** The feed of the first over the one that was to be expected. */
  readonly factor: number
  /** What says so: other runs at its mark, or the marks around it. */
  readonly beside: 'runs' | 'marks'
}

/**
 * Least factor, either way, that is called far off. Judgement: half as much again is more than a dial that is
 * set badly or a warming drive does, and less than the least usual slip, which is 2.
 */
export const FAR_OFF = Math.log(1.5)
/** The same between the two directions of one setting, which may differ by themselves. Judgement: by a third. */
const FAR_ACROSS = Math.log(2)
/**
 * How far a dial may be off by hand, in dial units over the span of the marks: a low mark beside a dead band then moves by
 * more than `FAR_OFF`. Judgement: three times 0.8 % of the dial, the worst of the simulated machines.
 */
const DIAL_OFF = 0.025
/**
 * Probability, under the forecast of the other marks, of a feed at least this far out on its side. Measured on
 * simulated dials of all families: with it at most a few in a thousand sound sessions have a run told.
 */
const TAIL = 1e-3
/** Relative standard deviation that a mark is given for its forecast. Judgement: twice what common drives scatter. */
const MARK_DEVIATION = 0.03
/** Beside it where a mark of the other direction stands for one of this: a usual difference (judgement). */
const ACROSS_DEVIATION = 0.1
/** Wrong runs that are looked for one after the other. Judgement: with more, no order is left to tell them by. */
const MOST = 3
/**
 * Where the density is looked at: log feeds around the fastest, and their step. Derived: a thousand times either way is
 * more than any slip, and a step is a tenth of `FAR_OFF`.
 */
const LOG_RANGE = Math.log(1000)
const LOG_STEP = 0.04

interface Reference {
  readonly logFeed: number
  readonly beside: FarOffRun['beside']
  readonly isFar: (logFeed: number) => boolean
}

/**
 * Runs that lie far off what the others of their axis lead one to expect: those at the same mark, else that mark in the other
 * direction, else the forecast of the marks around (`forecastMark`). Where a wrong run makes sound ones look wrong too,
 * the one is named without which the fewest others are far off.
 *
 * @param runs of both directions; runs that only creep or stand still are not judged
 * @param ordered whether feeds go one way along the dial, so that marks tell of each other
 */
export function farOffRuns(runs: readonly RunEvidence[], ordered: boolean): FarOffRun[] {
  const found: FarOffRun[] = []
  let rest = runs.filter((run) => run.feedMmPerMin > 0)
  while (found.length < MOST) {
    const far = farAmong(rest, ordered)
    if (far.length === 0) break
    const left = far.map(
      ({ run }) =>
        farAmong(
          rest.filter((one) => one !== run),
          ordered,
        ).length,
    )
    const least = Math.min(...left)
    const worst = far.filter((_, i) => left[i] === least)
    // Of two marks that each make the other look wrong, one that its own mark's runs contradict is meant first.
    const first = worst.find(({ reference }) => reference.beside === 'runs') ?? furthest(worst)
    const alike = worst
      .map(({ run }) => run)
      .filter((run) => run !== first.run && run.dial === first.run.dial)
    found.push({
      runs: [first.run, ...alike],
      factor: Math.exp(Math.log(first.run.feedMmPerMin) - first.reference.logFeed),
      beside: first.reference.beside,
    })
    rest = rest.filter((one) => one !== first.run && !alike.includes(one))
  }
  return found
}

interface FarRun {
  readonly run: RunEvidence
  readonly reference: Reference
}

function furthest(far: readonly FarRun[]): FarRun {
  const off = ({ run, reference }: FarRun) => Math.abs(Math.log(run.feedMmPerMin) - reference.logFeed)
  return far.reduce((most, one) => (off(one) > off(most) ? one : most))
}

function farAmong(runs: readonly RunEvidence[], ordered: boolean): FarRun[] {
  const marks = marksOf(runs)
  const slowest = creepLimit(Math.max(0, ...runs.map((run) => run.feedMmPerMin)))
  return runs.flatMap((run) => {
    const reference = referenceFor(run, marks, ordered)
    if (reference === null || Math.exp(reference.logFeed) < slowest) return []
    return reference.isFar(Math.log(run.feedMmPerMin)) ? [{ run, reference }] : []
  })
}

/** The runs of one dial in one direction. */
type Mark = readonly [RunEvidence, ...RunEvidence[]]

function marksOf(runs: readonly RunEvidence[]): Mark[] {
  const marks = new Map<string, [RunEvidence, ...RunEvidence[]]>()
  for (const run of runs) {
    const key = `${run.direction}/${run.dial}`
    const mark = marks.get(key)
    if (mark) mark.push(run)
    else marks.set(key, [run])
  }
  return [...marks.values()]
}

function referenceFor(run: RunEvidence, marks: readonly Mark[], ordered: boolean): Reference | null {
  const own = marks.find((mark) => sameMark(mark[0], run))!.filter((one) => one !== run)
  if (own.length > 0) return near(logMean(own), FAR_OFF + dialOff(run, marks))
  const across = marks.find(([one]) => one.dial === run.dial && one.direction !== run.direction)
  if (across !== undefined) {
    // The same from either side, so that neither run is called wrong alone for its own marks.
    const off = Math.max(dialOff(run, marks), dialOff(across[0], marks))
    return near(logMean(across), FAR_ACROSS + off)
  }
  return ordered ? byMarks(run, marks) : null
}

function near(logFeed: number, allowed: number): Reference {
  return { logFeed, beside: 'runs', isFar: (log) => Math.abs(log - logFeed) > allowed }
}

/** How far an error of setting the dial moves this mark at most, log feed, by the steeper way to its neighbours. */
function dialOff(run: RunEvidence, marks: readonly Mark[]): number {
  const others = marks.filter(([one]) => one.direction === run.direction && one.dial !== run.dial)
  if (others.length === 0) return 0
  const dials = [run.dial, ...others.map(([one]) => one.dial)]
  const off = DIAL_OFF * (Math.max(...dials) - Math.min(...dials))
  const logFeed = logMean(marks.find((mark) => sameMark(mark[0], run))!)
  const below = others.filter(([one]) => one.dial < run.dial).at(-1)
  const above = others.find(([one]) => one.dial > run.dial)
  const steepest = Math.max(
    ...[below, above].flatMap((mark) =>
      mark === undefined ? [] : [Math.abs(logMean(mark) - logFeed) / Math.abs(mark[0].dial - run.dial)],
    ),
  )
  return off * steepest
}

function byMarks(run: RunEvidence, marks: readonly Mark[]): Reference | null {
  const others = marks.filter((mark) => mark[0] !== run)
  const own = others.filter(([one]) => one.direction === run.direction)
  const across = others.filter(([one]) => one.direction !== run.direction)
  const logRatios = own.flatMap((mark) => {
    const there = across.find(([one]) => one.dial === mark[0].dial)
    return there === undefined ? [] : [logMean(mark) - logMean(there)]
  })
  const logRatio = logRatios.length === 0 ? 0 : median(logRatios)
  const known = [
    ...own.map((mark) => knownMark(mark, 0, MARK_DEVIATION)),
    ...across.map((mark) => knownMark(mark, logRatio, ACROSS_DEVIATION)),
  ]
  const forecast = forecastMark(known, run.dial)
  if (forecast === null) return null
  const top = Math.log(Math.max(...known.map((mark) => mark.feedMmPerMin)))
  const logs: number[] = []
  const sums: number[] = []
  let sum = 0
  for (let log = top - LOG_RANGE; log < top + LOG_RANGE; log += LOG_STEP) {
    sum += forecast(Math.exp(log), MARK_DEVIATION)
    logs.push(log)
    sums.push(sum)
  }
  const middle = logs[sums.findIndex((one) => one >= sum / 2)]!
  const isFar = (log: number) => {
    const place = logs.findIndex((one) => one >= log)
    const below = place < 0 ? 1 : sums[place]! / sum
    return Math.abs(log - middle) > FAR_OFF && Math.min(below, 1 - below) < TAIL
  }
  return { logFeed: middle, beside: 'marks', isFar }
}

function knownMark(mark: Mark, logShift: number, relativeDeviation: number): KnownMark {
  return { dial: mark[0].dial, feedMmPerMin: Math.exp(logMean(mark) + logShift), relativeDeviation }
}

/** The middle one of the log feeds: one wrong run among three does not move it far. */
function logMean(runs: readonly RunEvidence[]): number {
  return median(runs.map((run) => Math.log(run.feedMmPerMin)))
}

function sameMark(one: RunEvidence, other: RunEvidence): boolean {
  return one.dial === other.dial && one.direction === other.direction
}
