/**
 * A sharp change of slope: the end of a dead band, a gear, a motor at its limit. A bend spread over a tenth of the dial was
 * tried beside it and made no difference, because curves that stray do as much (`npm run proof:curve`).
 */
export interface Kink {
  /** 0…1 along what was measured. */
  readonly place: number
}

/**
 * Standard deviation of the change of slope at a kink; 1 is the slope of a straight dial curve. Judgement: the end
 * of a dead band or a motor at its limit changes it by all of itself.
 */
const KINK_BEND = 1

/**
 * Places tried for a kink in each gap between marks at most. Judgement: an eighth of a gap off, a corner makes
 * next to no difference at the marks.
 */
const KINKS_PER_GAP = 8
/** The same along the dial. Judgement: it bounds the time of a fit. */
const KINKS_ALONG_DIAL = 54

/**
 * The same in a gap where two corners are tried together, as on either side of a shelf. Judgement: there are
 * hundreds of pairs.
 */
const PAIRED_PER_GAP = 4
/** The same along the dial: 378 pairs at most (judgement: it bounds the time of a fit). */
const PAIRED_ALONG_DIAL = 28

/** What a kink adds to the curve for each unit of its change of slope: nothing before it, a ramp after it. */
export function rampPast(place: number, { place: corner }: Kink): number {
  return Math.max(0, place - corner)
}

/** Change of slope of a drawn curve at its kink, from a standard normal deviate. */
export function kinkSlope(deviate: number): number {
  return KINK_BEND * deviate
}

/** Kinks to try one at a time: even places in every gap between marks. */
export function singleKinks(marks: readonly number[]): Kink[] {
  return evenPlaces(marks, KINKS_PER_GAP, KINKS_ALONG_DIAL)
}

/** Kinks to try in pairs. */
export function pairedKinks(marks: readonly number[]): Kink[] {
  return evenPlaces(marks, PAIRED_PER_GAP, PAIRED_ALONG_DIAL)
}

/** Even places in every gap between marks, its first mark's own among them. */
function evenPlaces(marks: readonly number[], mostPerGap: number, mostAlongDial: number): Kink[] {
  const gaps = marks.length - 1
  const perGap = Math.min(mostPerGap, Math.max(1, Math.floor(mostAlongDial / gaps)))
  return Array.from({ length: gaps * perGap }, (_, k) => {
    const from = marks[Math.floor(k / perGap)]!
    const to = marks[Math.floor(k / perGap) + 1]!
    return { place: from + ((k % perGap) / perGap) * (to - from) }
  })
}
