/** A scale on which a dial curve may be near to a straight line; feeds enter as shares of the fastest mark. */
export interface FeedScale {
  readonly name: 'identity' | 'square root' | 'log'
  readonly forward: (share: number) => number
  /** Never negative: a curve that dips below zero means standing still. */
  readonly inverse: (z: number) => number
  /** dz/dshare: carries a standard deviation onto the scale, and is the Jacobian of its density. */
  readonly derivative: (share: number) => number
}

const IDENTITY: FeedScale = {
  name: 'identity',
  forward: (share) => share,
  inverse: (z) => Math.max(0, z),
  derivative: () => 1,
}

const SQUARE_ROOT: FeedScale = {
  name: 'square root',
  forward: Math.sqrt,
  inverse: (z) => Math.max(0, z) ** 2,
  derivative: (share) => 0.5 / Math.sqrt(share),
}

const LOG: FeedScale = {
  name: 'log',
  forward: Math.log,
  inverse: Math.exp,
  derivative: (share) => 1 / share,
}

/** Scales that can hold these feeds: with a mark that stands still only the plain one. */
export function feedScales(sharesOfFastest: readonly number[]): readonly FeedScale[] {
  return sharesOfFastest.every((share) => share > 0) ? [IDENTITY, SQUARE_ROOT, LOG] : [IDENTITY]
}
