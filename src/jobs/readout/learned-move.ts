import { DataError } from '../../errors/index.js'
import {
  checkLineUnit,
  type FittedScale,
  fitScale,
  type KnownMove,
  lineUnitMm,
  type MeasuredReadout,
  measureReadout,
  PLAUSIBLE_ANGLE_SCALES,
  type StampedLine,
} from '../../ingest/index.js'
import type { HeardReadout, LearnedAxis } from './readout-learning.js'

/** A length that a person states, and how far it may be off. */
export interface StatedLength {
  readonly lengthMm: number
  readonly errorMm: number
  /** True for an angle: both are degrees then. */
  readonly rotary?: boolean
}

/** Without a word of the user a move may be off by this share: a handwheel turn set by eye (common practice, no source). */
export const USUAL_MOVE_ERROR_SHARE = 0.01
/**
 * Values that a measurement of the arrivals rests on at least. Judgement: before the move there are few, and a
 * median of fewer is known badly.
 */
const FEWEST_MEASURED = 20

/**
 * What a number of the lines is worth, by a known move from rest to rest; where the lines carry a unit, whether the move
 * agrees with it.
 *
 * @throws DataError `not-at-rest`, and as `fitScale` and `checkLineUnit` do
 */
export function scaleOfMove(
  { column, shape, netMove, rested }: LearnedAxis,
  { lengthMm, errorMm, rotary }: StatedLength,
): FittedScale {
  if (netMove === null || !rested) {
    throw new DataError(
      'not-at-rest',
      'The axis was moving when listening began or ended, so the length of the move is not known.',
      'Begin and end the move with a second of rest.',
    )
  }
  const move: KnownMove = { numberMoved: netMove, lastDigit: 10 ** -column.decimals, lengthMm, errorMm }
  if (rotary) return fitScale(move, PLAUSIBLE_ANGLE_SCALES)
  return shape.unit === null ? fitScale(move) : checkLineUnit(shape.unit, move)
}

/** Rate, jitter and step of the readout, from the lines during the move where there are enough, else from those before it. */
export function measuredLines(
  heard: HeardReadout,
  moveLines: readonly StampedLine[],
  axis: LearnedAxis,
  scale: FittedScale | null,
): MeasuredReadout | null {
  // The two stretches are parted by what the user was told in between.
  const lines = moveLines.length >= FEWEST_MEASURED ? moveLines : heard.lines
  const fromS = lines[0]!.timeS
  const kept = axis.series.timeS.flatMap((timeS, i) =>
    timeS >= fromS && timeS <= lines.at(-1)!.timeS ? [{ timeS, value: axis.series.values[i]! }] : [],
  )
  const series = { timeS: kept.map((one) => one.timeS), values: kept.map((one) => one.value) }
  const unitMm = axis.shape.unit === null ? null : lineUnitMm(axis.shape.unit)
  return measureReadout(lines, series, 10 ** -axis.column.decimals, scale?.mmPerNumber ?? unitMm)
}
