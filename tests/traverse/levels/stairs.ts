import type { Track } from '../../../src/traverse/block-means.js'

/** Twenty samples a second of a table that holds each of these speeds, mm/s, for so long, s. */
export function stairs(
  levels: readonly (readonly [speedMmPerS: number, holdS: number])[],
  offMm: (index: number, positionMm: number) => number = () => 0,
): Track {
  const times: number[] = []
  const positions: number[] = []
  let [fromS, fromMm] = [0, 0]
  for (const [speed, holdS] of levels) {
    for (let i = 0; i < 20 * holdS; i++) {
      times.push(fromS + i / 20)
      positions.push(fromMm + (speed * i) / 20)
    }
    fromS += holdS
    fromMm += speed * holdS
  }
  return {
    timeS: Float64Array.from(times),
    positionMm: Float64Array.from(positions, (position, i) => position + offMm(i, position)),
  }
}

/** Half a step to either side in turn: what rounding does. */
export const rounding = (index: number): number => (index % 2 === 0 ? 0.001 : -0.001)
