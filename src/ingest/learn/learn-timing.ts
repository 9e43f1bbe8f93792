import { medianHigh } from '../../numbers/index.js'
import type { StampedLine } from '../lines/stamped-line.js'
import type { MeasuredReadout } from '../profiles/readout-profile.js'
import { positionStepMm } from '../recordings/position-step.js'
import type { ColumnSeries } from './learn-shape.js'

/**
 * Lines over which the beat is fitted at a time. Judgement: a lost line spoils one stretch only, and a line of
 * twelve knows its slope.
 */
const STRETCH_LINES = 12
/**
 * Share by which periods may differ and be the same. Judgement: a clock drifts by far less, and two rates of a
 * readout differ by far more.
 */
const SAME_PERIOD = 0.005
/**
 * Shortest rest, s, that is told from lines that stay away. Judgement: a readout sends once a second at least.
 */
const REST_S = 1
/** Usual periods without a line after which they have stopped. Judgement: three lost in a row are rare. */
const STOPPED_PERIODS = 4

/**
 * What the arrivals and values of one axis tell about the readout.
 *
 * @param lines all lines that came, of every axis
 * @param lastDigit what one unit of the last digit is in numbers
 * @param mmPerNumber what the number 1 is worth, mm; null while that is not known
 * @returns null for too few lines to tell a beat
 */
export function measureReadout(
  lines: readonly StampedLine[],
  series: ColumnSeries,
  lastDigit: number,
  mmPerNumber: number | null,
): MeasuredReadout | null {
  const beats = undisturbed(stretches(series.timeS).map(beatOf))
  const periodS = beats.reduce((sum, beat) => sum + beat.periodS, 0) / beats.length
  if (!(periodS > 0)) return null
  const counts = linesPerArrival(lines)
  const together = counts.filter((count) => count > 1).reduce((sum, count) => sum + count, 0)
  return {
    positionStepMm:
      mmPerNumber === null
        ? null
        : positionStepMm(
            Float64Array.from(series.values, (value) => value * mmPerNumber),
            lastDigit * mmPerNumber,
          ),
    refreshHz: 1 / periodS,
    arrivalJitterS: Math.sqrt(medianHigh(beats.map((beat) => beat.variance))),
    mostLinesTogether: Math.max(...counts),
    togetherShare: together / lines.length,
    repeatsAtRest: repeatsAtRest(series, lastDigit, periodS),
    lines: series.timeS.length,
  }
}

interface Beat {
  readonly periodS: number
  readonly standardErrorS: number
  readonly variance: number
}

/** The stretches that lack no line: a lost or damaged one makes the period of its stretch longer, never shorter. */
function undisturbed(beats: readonly Beat[]): readonly Beat[] {
  const sorted = [...beats].sort((a, b) => a.periodS - b.periodS)
  const short = sorted[Math.floor((sorted.length - 1) / 4)]
  if (short === undefined) return []
  const allowedS = Math.max(SAME_PERIOD * short.periodS, 2 * short.standardErrorS)
  return sorted.filter(({ periodS }) => Math.abs(periodS - short.periodS) <= allowedS)
}

function stretches(timeS: readonly number[]): (readonly number[])[] {
  const parts: (readonly number[])[] = []
  const lines = Math.min(STRETCH_LINES, Math.max(5, timeS.length))
  for (let from = 0; from + lines <= timeS.length; from += lines) parts.push(timeS.slice(from, from + lines))
  return parts
}

/** Period and residual variance of a straight line through arrivals over their numbers, by least squares. */
function beatOf(timeS: readonly number[]): Beat {
  const n = timeS.length
  const middle = (n - 1) / 2
  const offsets = timeS.map((one) => one - timeS[0]!)
  const mean = offsets.reduce((sum, one) => sum + one, 0) / n
  const sxx = (n * (n * n - 1)) / 12
  const periodS = offsets.reduce((sum, one, i) => sum + (i - middle) * (one - mean), 0) / sxx
  const squares = offsets.reduce((sum, one, i) => sum + (one - mean - periodS * (i - middle)) ** 2, 0)
  const variance = squares / (n - 2)
  return { periodS, standardErrorS: Math.sqrt(variance / sxx), variance }
}

function linesPerArrival(lines: readonly StampedLine[]): number[] {
  const counts: number[] = []
  lines.forEach(({ timeS }, i) => {
    if (i > 0 && lines[i - 1]!.timeS === timeS) counts[counts.length - 1]! += 1
    else counts.push(1)
  })
  return counts
}

function repeatsAtRest({ timeS, values }: ColumnSeries, lastDigit: number, periodS: number): boolean | null {
  const same = (a: number, b: number) => Math.abs(a - b) <= 1.01 * lastDigit
  let fromS = timeS[0] ?? 0
  let level = values[0] ?? 0
  let stopped = false
  for (let i = 1; i < values.length; i += 1) {
    const gapS = timeS[i]! - timeS[i - 1]!
    if (gapS > Math.max(REST_S, STOPPED_PERIODS * periodS)) {
      stopped = true
      fromS = timeS[i]!
      level = values[i]!
    } else if (!same(values[i]!, level)) {
      fromS = timeS[i]!
      level = values[i]!
    } else if (timeS[i]! - fromS >= REST_S) return true
  }
  return stopped ? false : null
}
