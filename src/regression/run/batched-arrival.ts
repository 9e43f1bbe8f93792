import { BATCHED } from '../../traverse/index.js'

/**
 * Lines that the pattern of lateness is followed over at most. Judgement: it then takes a millisecond or two; over a
 * longer run the uncertainty falls with its length at least.
 */
const MOST_LINES = 2048
/** Phases tried of the first and of the last line within their batch. Derived: the mean square then is within 1 %. */
const PHASES = 12

/**
 * What lines that come in batches leave uncertain in a feed by arrival times, as a share of it (standard uncertainty, type
 * B); 0 where they come one by one. An adapter that hands over every B seconds shows a line late by the time to its next
 * hand-over. Where the beats of readout and adapter nearly agree, that lateness creeps by up to a line period before it
 * falls back, and a line through late times takes the creep for speed; the times of the lines themselves cannot show it.
 * Counted are n lines in whole batches, so that the phases of the first and the last line within theirs are anything
 * (rectangular, JCGM 100:2008, 4.3.7). With m lines a batch and phases a and b, line k is late by m·(1 − frac(a + k·r)) line
 * periods, r = (J + b − a)/(n − 1) with J batches; the slope of that on k is what it makes of the feed, and its root mean
 * square over all phases is the uncertainty.
 *
 * @param lines of the steady part
 * @param linesPerArrival their mean number in one arrival, over the recording
 * @example batchUncertainty(601, 3) // 6.6e-4: nearly √(1/6) of a line period over the run, as its two ends may be off
 */
export function batchUncertainty(lines: number, linesPerArrival: number): number {
  if (linesPerArrival < BATCHED || lines < 3) return 0
  const n = Math.min(lines, MOST_LINES)
  const middle = (n - 1) / 2
  const batches = Math.round((n - 1) / linesPerArrival)
  const sumOfSquares = (n * (n * n - 1)) / 12
  let squares = 0
  for (let first = 0; first < PHASES; first++) {
    for (let last = 0; last < PHASES; last++) {
      const from = (first + 0.5) / PHASES
      const turn = (batches + (last - first) / PHASES) / (n - 1)
      let slope = 0
      for (let k = 0; k < n; k++) {
        const phase = from + k * turn
        slope -= (k - middle) * (phase - Math.floor(phase))
      }
      squares += (slope / sumOfSquares) ** 2
    }
  }
  return (linesPerArrival * Math.sqrt(squares) * n) / (PHASES * lines)
}

/** Mean number of samples with the same time, which came together: 1 where all times differ. */
export function linesTogether(timeS: Float64Array): number {
  let arrivals = 0
  for (let i = 0; i < timeS.length; i++) if (i === 0 || timeS[i] !== timeS[i - 1]) arrivals += 1
  return arrivals === 0 ? 1 : timeS.length / arrivals
}
