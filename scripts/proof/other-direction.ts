import type { SeededRandom, SimulatedMill } from '../../src/simulation/index.js'

/** How the feed of the minus direction may differ from that of the plus one beside the mill's factor. */
export const DEVIATIONS = [
  'a factor alone',
  'a feed lost to friction',
  'a slow waver',
  'a fast waver',
  'a bend',
] as const
export type DeviationKind = (typeof DEVIATIONS)[number]

/** True feed in the minus direction at a dial, mm/min. Sizes are our own invention, no source. */
export function minusFeed(
  mill: SimulatedMill,
  kind: DeviationKind,
  random: SeededRandom,
): (dial: number) => number {
  const full = mill.curve(mill.dialMax)
  const phase = 2 * Math.PI * random.uniform()
  const size = 0.002 + 0.015 * random.uniform()
  const sign = random.uniform() < 0.5 ? -1 : 1
  const place = (dial: number) => (dial - mill.dialMin) / (mill.dialMax - mill.dialMin)
  return (dial) => {
    const feed = mill.minusFactor * mill.curve(dial)
    switch (kind) {
      case 'a factor alone':
        return feed
      case 'a feed lost to friction':
        return Math.max(0, feed - 0.3 * size * full)
      case 'a slow waver':
        return feed * (1 + size * Math.sin(2 * Math.PI * place(dial) + phase))
      case 'a fast waver':
        return feed * (1 + 0.6 * size * Math.sin(6 * Math.PI * place(dial) + phase))
      case 'a bend':
        return feed * (1 + 2 * sign * size * Math.max(0, place(dial) - 0.5))
    }
  }
}
