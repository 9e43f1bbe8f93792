import type { Track } from '../block-means.js'

/** A time as one finds it again: `12.3 s into the recording`, whatever the origin of the clock. */
export function timeInto(track: Track, timeS: number): string {
  return `${(timeS - track.timeS[0]!).toFixed(1)} s into the recording`
}
