import type { MarkFit } from '../feed-table.js'
import type { NoisePosterior } from '../scatter/noise-model.js'
import { MARKS_FOR_SHAPE } from './dial-draws.js'

/**
 * Repeats beyond the first that show the shape of a curve. Judgement: with fewer the scatter is known so badly
 * that a bend and two odd runs look alike.
 */
export const REPEATS_FOR_SHAPE = 4

/**
 * Whether the marks of one direction show the shape of its dial curve. Otherwise the feed between them is interpolated.
 *
 * @param marks all marks of the direction, those that creep or stand still among them
 * @param posterior null where no mark was repeated
 */
export function showsShape(
  marks: readonly Pick<MarkFit, 'feedMmPerMin'>[],
  posterior: Pick<NoisePosterior, 'degreesOfFreedom'> | null,
): boolean {
  return (
    marks.length >= MARKS_FOR_SHAPE &&
    marks.some((mark) => mark.feedMmPerMin > 0) &&
    posterior !== null &&
    posterior.degreesOfFreedom >= REPEATS_FOR_SHAPE
  )
}
