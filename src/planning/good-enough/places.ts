import { Z95 } from '../../numbers/z95.js'
import {
  type CurvePoint,
  creepLimit,
  type FittedDirection,
  type IntervalMmPerMin,
  type MarkFit,
} from '../../regression/index.js'
import type { Direction } from '../../traverse/index.js'

/** A place of the dial and how well its feed is known. */
export interface KnownPlace {
  readonly direction: Direction
  readonly dial: number
  readonly feedMmPerMin: number
  /** Relative standard uncertainty of the mean, as its 95 % interval shows it. */
  readonly meanDeviation: number
  /** Relative standard deviation of one setting and run about the mean, as the next setting's interval shows it. */
  readonly settingDeviation: number
}

/** When a place is good enough. */
export interface Wish {
  /** Relative half width of the 95 % interval of the mean that is always good enough. */
  readonly within: number
  /** Take that alone, however much setting the knob scatters. */
  readonly percentAlone: boolean
}

/**
 * The mean is known well enough where its half width is this share of that of the next setting. Derived: knowing
 * it without any error would narrow the next setting by an eighth (1 − √(1 − 0.5²) = 13 %).
 */
const SHARE_OF_NEXT_SETTING = 0.5

/**
 * The places of one fitted direction: every point of its curve, or the marks of a dial without one. Left out is what
 * creeps, and what lies between it and the next mark: there the feed goes towards nothing, and a percentage of it too.
 *
 * @returns null where some place has no interval
 */
export function placesOf(
  { direction, marks, curve }: FittedDirection,
  fastestMmPerMin: number,
): KnownPlace[] | null {
  const limit = creepLimit(fastestMmPerMin)
  const moving = marks.filter((mark) => mark.feedMmPerMin >= limit).map((mark) => mark.dial)
  const [low, high] = [Math.min(...moving), Math.max(...moving)]
  const points: readonly (CurvePoint | MarkFit)[] = curve.length > 0 ? curve : marks
  const places = points
    .filter(({ dial, feedMmPerMin }) => dial >= low && dial <= high && feedMmPerMin >= limit)
    .map((point) => placeOf(direction, point))
  return places.some((place) => place === null) ? null : places.filter((place) => place !== null)
}

function placeOf(direction: Direction, point: CurvePoint | MarkFit): KnownPlace | null {
  const { dial, feedMmPerMin, interval95, nextSetting95 } = point
  if (interval95 === null || nextSetting95 === null) return null
  const mean = relativeHalf(interval95, feedMmPerMin) / Z95
  const next = relativeHalf(nextSetting95, feedMmPerMin) / Z95
  return {
    direction,
    dial,
    feedMmPerMin,
    meanDeviation: mean,
    settingDeviation: Math.sqrt(Math.max(0, next ** 2 - mean ** 2)),
  }
}

function relativeHalf([low, high]: IntervalMmPerMin, feedMmPerMin: number): number {
  return (high - low) / (2 * feedMmPerMin)
}

/** Relative half width of the 95 % interval of the mean at a place. */
export function halfWidthOf({ meanDeviation }: Pick<KnownPlace, 'meanDeviation'>): number {
  return Z95 * meanDeviation
}

/** Relative half width at which a place is good enough. */
export function enoughAt(place: Pick<KnownPlace, 'meanDeviation' | 'settingDeviation'>, wish: Wish): number {
  const next = Z95 * Math.hypot(place.meanDeviation, place.settingDeviation)
  return wish.percentAlone ? wish.within : Math.max(wish.within, SHARE_OF_NEXT_SETTING * next)
}
