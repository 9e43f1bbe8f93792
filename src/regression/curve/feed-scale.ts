/** A scale on which a dial curve may be near to a straight line; feeds enter as shares of the fastest mark. */
export interface FeedScale {
  readonly name: 'identity' | 'square root' | 'log'
  readonly forward: (share: number) => number
  /** A whole curve back to shares, in place. Never negative: a curve that dips below zero means standing still. */
  readonly toShares: (curve: Float64Array) => void
  /** dz/dshare: carries a standard deviation onto the scale, and is the Jacobian of its density. */
  readonly derivative: (share: number) => number
}

const IDENTITY: FeedScale = {
  name: 'identity',
  forward: (share) => share,
  toShares: (curve) => {
    for (let i = 0; i < curve.length; i++) curve[i] = Math.max(0, curve[i]!)
  },
  derivative: () => 1,
}

const SQUARE_ROOT: FeedScale = {
  name: 'square root',
  forward: Math.sqrt,
  toShares: (curve) => {
    for (let i = 0; i < curve.length; i++) curve[i] = Math.max(0, curve[i]!) ** 2
  },
  derivative: (share) => 0.5 / Math.sqrt(share),
}

const LOG: FeedScale = {
  name: 'log',
  forward: Math.log,
  toShares: (curve) => {
    for (let i = 0; i < curve.length; i++) curve[i] = Math.exp(curve[i]!)
  },
  derivative: (share) => 1 / share,
}

/** Scales that can hold these feeds: with a mark that stands still only the plain one. */
export function feedScales(sharesOfFastest: readonly number[]): readonly FeedScale[] {
  return sharesOfFastest.every((share) => share > 0) ? [IDENTITY, SQUARE_ROOT, LOG] : [IDENTITY]
}
