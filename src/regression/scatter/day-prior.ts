import { sizePrior } from './size-grid.js'

/**
 * Degrees of freedom of the half-t prior of the day effect, the relative standard deviation from session to session of
 * what all feeds of a machine have in common (A. Gelman, Bayesian Analysis 1 (2006) 515-534: the half-t family for the
 * standard deviation of a level with few groups).
 *
 * Two, so that both measured motors are at home in it: of `fixtures/open-data` the steadier one has 0.74 % a session,
 * in the middle of this prior, and both together 4.5 %, at its end (see the scale). With one degree, the half-Cauchy,
 * and the same end half of all drives would be steadier than 0.2 %, which no measured one is, and a check run would be
 * taken for scatter: with a day effect of 1 % today's mean was then held in 91 % even where the scatter is known exactly.
 */
export const DAY_DEGREES = 2

/**
 * Scale of that prior. The two measured motors, geared and on a battery, with nothing to hold their speed, differ
 * between two sessions by 6.3 % (root mean square over both motors and directions), which is a standard deviation of
 * 4.5 % a session. They stand for the worst of drives, so that 97.5 % of the prior lies below: 0.045 over the 98.75 %
 * point of Student's t with 2 degrees, 6.205, is 0.00725. Drives that follow their mains agree: 95 % of the supply
 * voltage lies within ±10 % (EN 50160, from memory), which is 5 %.
 */
export const DAY_SCALE = 0.00725

/**
 * Scale of the prior for a day that runs were made on: its feeds are told by those runs, and the prior only weighs them
 * against the scatter. Its median, 0.8165 of the scale, is the geometric middle of the two measured motors, √(0.74 % · 4.5
 * %) = 1.8 %, so that neither is taken for the other. With the narrower prior of any day a drive that wanders by 2 % or 4.5 % a
 * day was held in 90 and 87 % after one check run; with this one in 93 to 96 % at every size (`scripts/proofs/days.js`).
 */
export const SEEN_DAY_SCALE = 0.02235

/**
 * Day effects tried, geometric. Judgement: smaller ones do not show, larger ones are no drive; the prior leaves 1
 * % outside.
 */
const DAY_GRID = { from: 0.0002, to: 0.25, count: 24 }

/** One possible size of the day effect, relative standard deviation, and how probable it is. */
export interface DaySize {
  readonly dayRelative: number
  readonly weight: number
}

/** The prior of the day effect on a grid; weights sum to 1. */
export function dayPrior(): DaySize[] {
  return sizePrior(DAY_GRID, (size) => size * halfT(size, DAY_SCALE)).map(({ size, weight }) => ({
    dayRelative: size,
    weight,
  }))
}

/** Density of the half-t prior, but for a constant. */
export function halfT(size: number, scale: number): number {
  return (1 + (size / scale) ** 2 / DAY_DEGREES) ** (-(DAY_DEGREES + 1) / 2)
}

/**
 * One possible size of the feed that a day loses or gains alike at all settings, as a share of the fastest: its standard
 * deviation from session to session, in each direction by itself.
 */
export interface LostSize {
  readonly lostRelative: number
  readonly weight: number
}
