import { median } from 'simple-statistics'
import type { Track } from '../block-means.js'
import type { Motion, MotionLimits, Stretch } from './motions.js'

/** Where the table stood. */
export interface RestLevel extends Stretch {
  readonly levelMm: number
}

/**
 * Shortest stand at a turning point that counts as a rest, s. Judgement: a table that only turns round passes its
 * rest band sooner at any feed with a feed of its own.
 */
const SHORTEST_DWELL_S = 0.3
/**
 * A dwell outlasts the time in which the table crosses the rest band so many times. Derived: at speed it takes two
 * bands to come and go; twice that is a stand.
 */
const DWELL_BANDS = 4
/**
 * The same for a number that does not change at all, in times of one step. Derived: at speed a number stands for
 * one step.
 */
const DWELL_STEPS = 2
/**
 * Samples nearest to the motion that tell the level of a rest, which may last an hour. Judgement: far more than a
 * median needs; a scale that drifts with temperature does not count.
 */
const LEVEL_SAMPLES = 400

/**
 * The rest at the start (`end` −1) or the end (`end` 1) of a motion: the rest found there, or a dwell at the
 * turning point or at the edge of the recording that is too short to count as a rest.
 *
 * @returns null where the table did not stand still there, as far as the recording shows
 */
export function restLevel(
  track: Track,
  motion: Motion,
  end: 1 | -1,
  limits: Pick<MotionLimits, 'restBandMm' | 'positionStepMm'>,
  speedMmPerS: number,
): RestLevel | null {
  const rest = end === 1 ? motion.restAfter : motion.restBefore
  const at = end === 1 ? motion.to : motion.from
  const { restBandMm, positionStepMm } = limits
  const stretch =
    rest ??
    dwellAt(track, at, restBandMm, (DWELL_BANDS * restBandMm) / speedMmPerS) ??
    dwellAt(track, at, positionStepMm / 2, (DWELL_STEPS * positionStepMm) / speedMmPerS)
  if (stretch === null) return null
  const near =
    end === 1
      ? { from: stretch.from, to: Math.min(stretch.to, stretch.from + LEVEL_SAMPLES) }
      : { from: Math.max(stretch.from, stretch.to - LEVEL_SAMPLES), to: stretch.to }
  return { ...stretch, levelMm: median([...track.positionMm.subarray(near.from, near.to)]) }
}

function dwellAt(track: Track, at: number, bandMm: number, neededS: number): Stretch | null {
  const { timeS, positionMm } = track
  let from = at
  let to = at
  const near = (i: number): boolean =>
    i >= 0 && i < timeS.length && Math.abs(positionMm[i]! - positionMm[at]!) <= bandMm
  while (near(from - 1)) from--
  while (near(to + 1)) to++
  return timeS[to]! - timeS[from]! >= Math.max(SHORTEST_DWELL_S, neededS) ? { from, to: to + 1 } : null
}
