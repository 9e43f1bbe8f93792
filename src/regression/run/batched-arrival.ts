import { BATCHED } from '../../traverse/index.js'

/**
 * What a slow saw tooth makes of a slope, in teeth over the length of the run (standard uncertainty). Derived: while it
 * creeps by c teeth over the run, it falls back with probability c, after a share t of the run, and the slope is off by c
 * or by c − 6t(1 − t) teeth. Over t from 0 to 1 (rectangular, JCGM 100:2008, 4.3.7) the mean square is
 * (1 − c)c² + c((c − 1)² + 1/5) = 1.2c − c², at most 0.36, at c = 0.6. That most is taken and no mean over c: a readout
 * keeps its rate, so that all its runs may creep so. A faster creep leaves less.
 */
const TILT = 0.6

/**
 * What lines that come in batches leave uncertain in a feed by arrival times, as a share of it (standard uncertainty, type
 * B); 0 where they come one by one. An adapter that hands over every B seconds shows a line late by the time to its next
 * hand-over. With r batches a line, r close to p/q in lowest terms, every q-th line meets its hand-over at nearly the same
 * moment; that moment creeps by up to B/q and falls back, a slow saw tooth that a line through late times takes for speed.
 * The times of the lines themselves cannot show it. The recording shows r to one batch over its length, so that q is the
 * smallest denominator within one batch over the run. A readout keeps its rate: where that lies closest to p/q, all its
 * runs have the slowest tooth, so that no mean is taken over the rates. In line periods B is 1/r.
 *
 * @param lines of the steady part
 * @param linesPerArrival their mean number in one arrival, over the recording
 * @example batchUncertainty(601, 2.5) // 5e-4: 0.6 of half a line period over the run, as two batches hold five lines
 */
export function batchUncertainty(lines: number, linesPerArrival: number): number {
  if (linesPerArrival < BATCHED || lines < 3) return 0
  const periods = lines - 1
  let q = 1
  while (Math.abs(Math.round(q / linesPerArrival) / q - 1 / linesPerArrival) > 1 / periods) q++
  return (TILT * linesPerArrival) / q / periods
}

/** Mean number of samples with the same time, which came together: 1 where all times differ. */
export function linesTogether(timeS: Float64Array): number {
  let arrivals = 0
  for (let i = 0; i < timeS.length; i++) if (i === 0 || timeS[i] !== timeS[i - 1]) arrivals += 1
  return arrivals === 0 ? 1 : timeS.length / arrivals
}
