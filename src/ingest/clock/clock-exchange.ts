/** One question and answer between two clocks, s: by the asker's clock outside, by the host's inside. */
export interface ClockExchange {
  readonly sentS: number
  readonly serverReceivedS: number
  readonly serverSentS: number
  readonly receivedS: number
}

/** How far the host's clock is ahead of the asker's at a moment. */
interface ClockOffset {
  readonly offsetS: number
  /** The true offset lies no further away than this, s. */
  readonly halfWidthS: number
  /** Middle of the exchange by the asker's clock, s. */
  readonly atS: number
}

/**
 * A way that comes out as less than nothing by no more than this is none, s. Derived: four times since 1970, each rounded to
 * 2.4e-7 s as a number.
 */
const ROUNDING_S = 1e-6

/**
 * The offset that several exchanges tell, taken from the one with the shortest way: offset ½((T₂−T₁)+(T₃−T₄)), true
 * to half the way δ = (T₄−T₁)−(T₃−T₂) (RFC 5905, sections 8 and 10; the shortest way is the most exact).
 *
 * @returns null without an exchange that makes sense
 */
export function clockOffset(exchanges: readonly ClockExchange[]): ClockOffset | null {
  const offsets = exchanges.flatMap((exchange): ClockOffset[] => {
    const { sentS, serverReceivedS, serverSentS, receivedS } = exchange
    const wayS = receivedS - sentS - (serverSentS - serverReceivedS)
    if (!(wayS >= -ROUNDING_S) || !(serverSentS >= serverReceivedS)) return []
    const offsetS = (serverReceivedS - sentS + (serverSentS - receivedS)) / 2
    return [{ offsetS, halfWidthS: Math.max(0, wayS) / 2, atS: (sentS + receivedS) / 2 }]
  })
  return offsets.reduce<ClockOffset | null>(
    (best, one) => (best === null || one.halfWidthS < best.halfWidthS ? one : best),
    null,
  )
}

/** How well a duration by another clock is known by the host's. */
export interface ClockAgreement {
  /** Standard uncertainty that the clock adds to a duration, s. */
  readonly standardUncertaintyS: number
  /** By how much the clocks moved against each other more than clocks in order do, s; 0 where they agree. */
  readonly strayedS: number
}

/** Quartz clocks of phones and computers keep within this of each other (common practice, no source). */
const CLOCKS_DIFFER_BY = 200e-6

/**
 * What exchanges before and after a timing say about its duration by the asker's clock. Each offset is known within its
 * half width, taken as rectangular (JCGM 100:2008, 4.3.7); the duration shares in their difference in proportion. A
 * clock that stood still in between, as a sleeping phone's does, shows as a difference that no exchange explains; all of
 * it may have fallen into the timing.
 *
 * @returns null where one of the two offsets is missing: then nothing is known about the clock
 * @example
 * clockAgreement(10, { offsetS: 5, halfWidthS: 0.004, atS: 0 }, { offsetS: 5.001, halfWidthS: 0.003, atS: 20 })
 * // { standardUncertaintyS: 0.0014…, strayedS: 0 }
 */
export function clockAgreement(
  durationS: number,
  before: ClockOffset | null,
  after: ClockOffset | null,
): ClockAgreement | null {
  if (before === null || after === null || !(after.atS > before.atS)) return null
  const spanS = after.atS - before.atS
  const knownWithinS = before.halfWidthS + after.halfWidthS + CLOCKS_DIFFER_BY * spanS
  const strayedS = Math.max(0, Math.abs(after.offsetS - before.offsetS) - knownWithinS)
  const share = Math.min(1, durationS / spanS)
  const variance = share ** 2 * (before.halfWidthS ** 2 / 3 + after.halfWidthS ** 2 / 3) + strayedS ** 2 / 3
  return { standardUncertaintyS: Math.sqrt(variance), strayedS }
}
