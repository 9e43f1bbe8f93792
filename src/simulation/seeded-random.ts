import { randomNormal } from 'd3-random'
import { xoroshiro128plus } from 'pure-rand/generator/XoroShiro'

/** Draws that are the same for the same seed, on every machine. */
export interface SeededRandom {
  /** Uniform in [0, 1), 53 random bits. */
  uniform(): number
  /** Normal with the mean and standard deviation given. */
  normal(mean: number, standardDeviation: number): number
}

/**
 * Draws thrown away at first: the generator's state starts as the bare seed, and neighbouring seeds look the same
 * until it has been stirred. Judgement: each draw mixes every bit; 64 are plenty.
 */
const STIRRING_DRAWS = 64

/**
 * A stream of seeded draws: xoroshiro128+ (Blackman and Vigna, 2018), normals by d3-random's polar method.
 *
 * @param seed any integer; fractions are cut off
 * @example
 * const random = seededRandom(7)
 * const feed = random.normal(120, 1.5)
 */
export function seededRandom(seed: number): SeededRandom {
  const generator = xoroshiro128plus(Math.trunc(seed))
  for (let draw = 0; draw < STIRRING_DRAWS; draw += 1) generator.unsafeNext()
  const uniform = () => {
    const high = generator.unsafeNext() >>> 5
    const low = generator.unsafeNext() >>> 6
    return (high * 2 ** 26 + low) / 2 ** 53
  }
  const standardNormal = randomNormal.source(uniform)(0, 1)
  return { uniform, normal: (mean, standardDeviation) => mean + standardDeviation * standardNormal() }
}
