import type { RejectedLine } from '../../ingest/index.js'
import type { Track } from '../block-means.js'
import { timeInto } from '../phases/time-into.js'
import type { Rejection, Warning } from '../traverse.js'

/**
 * Usual periods from which on a pause between two lines is a silence. Judgement: the lines of a busy computer come
 * up to 0.4 s late, which at 20 Hz is 8 periods.
 */
const GAP_PERIODS = 8
/**
 * The same in seconds, for fast readouts. Judgement: more than the longest lateness reckoned with
 * (`LONGEST_LATE_S`, 0.4 s).
 */
const GAP_S = 0.5
/**
 * Share of the steady part that silences may take before the run is refused. Judgement: what happened in more than
 * a quarter of the travel is not known; the feed of the rest would still be right if nothing did.
 */
const MAX_SILENT_SHARE = 0.25
/**
 * Share of unreadable lines in the steady part above which it is told. Judgement: a sound cable loses none; the
 * feed is hardly worse for it.
 */
const TOLD_UNREADABLE_SHARE = 0.1
/**
 * Share of unreadable lines above which the run is refused. Judgement: where most lines are damaged, a damaged one
 * that still reads as a number is likely too.
 */
const MAX_UNREADABLE_SHARE = 0.5

/** From this pause between two samples on the readout counts as silent, s. */
function shortestSilenceS(periodS: number): number {
  return Math.max(GAP_S, GAP_PERIODS * periodS)
}

/** Whether the readout fell silent between two samples, both included. */
export function fellSilent(
  { timeS }: Track,
  firstIndex: number,
  lastIndex: number,
  periodS: number,
): boolean {
  for (let i = firstIndex + 1; i <= lastIndex; i++) {
    if (timeS[i]! - timeS[i - 1]! >= shortestSilenceS(periodS)) return true
  }
  return false
}

/** How the samples of a track come, and the lines that gave none. */
interface LinesOfTrack {
  /** Usual time between two samples, s. */
  readonly periodS: number
  /** Lines that a sample stands for. Default 1. */
  readonly linesPerSample?: number
  readonly rejectedLines: readonly RejectedLine[]
}

/** What gaps and unreadable lines within the steady part come to. */
export function judgeLostLines(
  track: Track,
  fromIndex: number,
  toIndex: number,
  { periodS, linesPerSample = 1, rejectedLines }: LinesOfTrack,
): { rejection: Rejection | null; warnings: Warning[] } {
  const { timeS } = track
  const fromS = timeS[fromIndex]!
  const toS = timeS[toIndex - 1]!
  const shortestGapS = shortestSilenceS(periodS)
  let silentS = 0
  let longestS = 0
  let longestAtS = fromS
  for (let i = fromIndex + 1; i < toIndex; i++) {
    const pauseS = timeS[i]! - timeS[i - 1]!
    if (pauseS < shortestGapS) continue
    silentS += pauseS
    if (pauseS > longestS) {
      longestS = pauseS
      longestAtS = timeS[i - 1]!
    }
  }
  const unreadable = rejectedLines.filter((line) => line.timeS >= fromS && line.timeS <= toS).length
  const unreadableShare = unreadable / (unreadable + linesPerSample * (toIndex - fromIndex))
  const gap = `The readout was silent for ${longestS.toFixed(1)} s, ${timeInto(track, longestAtS)}`

  if (silentS > MAX_SILENT_SHARE * (toS - fromS)) {
    const percent = Math.round((100 * silentS) / (toS - fromS))
    return {
      rejection: {
        code: 'lines-lost',
        message: `${gap}; silences take ${percent} % of the steady part.`,
      },
      warnings: [],
    }
  }
  const percent = Math.round(100 * unreadableShare)
  if (unreadableShare > MAX_UNREADABLE_SHARE) {
    const message = `${unreadable} lines (${percent} %) of the steady part could not be read.`
    return { rejection: { code: 'lines-lost', message }, warnings: [] }
  }
  const warnings: Warning[] = []
  if (longestS > 0) {
    warnings.push({ code: 'gap', message: `${gap}; the feed comes from the readings on both sides of it.` })
  }
  if (unreadableShare > TOLD_UNREADABLE_SHARE) {
    warnings.push({
      code: 'unreadable-lines',
      message: `${unreadable} lines (${percent} %) of the steady part could not be read.`,
    })
  }
  return { rejection: null, warnings }
}
