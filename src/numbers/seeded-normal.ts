import { randomNormal } from 'd3-random'
import prand from 'pure-rand'

/**
 * A 32-bit seed from what was measured (FNV-1a over the text), so that the same runs draw the same curves.
 * @example seedFrom('3,71.2') === seedFrom('3,71.2') // true
 */
export function seedFrom(text: string): number {
  let hash = 0x811c9dc5
  for (let i = 0; i < text.length; i++) {
    hash ^= text.charCodeAt(i)
    hash = Math.imul(hash, 0x01000193)
  }
  return hash | 0
}

/** Numbers evenly spread over (0, 1) from a seed, 53 bits each. */
export function seededUniform(seed: number): () => number {
  const generator = prand.xoroshiro128plus(seed)
  return () => {
    const high = generator.unsafeNext() >>> 5
    const low = generator.unsafeNext() >>> 6
    return (high * 2 ** 26 + low + 0.5) / 2 ** 53
  }
}

/** Standard normal deviates from a seed. */
export function seededNormal(seed: number): () => number {
  return randomNormal.source(seededUniform(seed))(0, 1)
}
