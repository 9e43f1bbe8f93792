import { type Kink, kinkSlope, pairedKinks, rampPast, singleKinks } from './curve-kinks.js'
import { type FeaturesAtMarks, featuresAtMarks, logGainOfOne, logGainOfTwo } from './features-at-marks.js'
import { stepAtMarks } from './level-stretch.js'

/** What a dial curve has beside a line and its slow straying: nothing, one or two corners, or a level stretch. */
export interface CurveForm {
  readonly kinks: readonly Kink[]
  /** Gaps that a level stretch or a jump lies in: none, one, or two with the mark between them inside the stretch. */
  readonly stretch: readonly number[]
}

/**
 * Share of dials that have nothing of the kind, beforehand: as many as not. The rest is shared out evenly among one corner
 * (the end of a dead band, a gear, a motor at its limit), a level stretch or jump, and two corners. The principle of
 * indifference, because no count of dials is published. It hardly matters: with 70 % in place of 50 % the band between marks
 * held 98.5 % instead of 98.6 % and was 2 % narrower (`npm run proof:curve` at 4 to 8 marks, changed for once).
 */
export const PLAIN = 0.5
const EACH = (1 - PLAIN) / 3

/** Stretches within one gap, and across the mark between two: as many of the one as of the other (indifference). */
const WITHIN_GAP = 0.5

/** The direction in which each part of a form moves the marks, for a size of one standard deviation. */
export function directionsAtMarks(places: readonly number[], { kinks, stretch }: CurveForm): number[][] {
  return [
    ...kinks.map((kink) => places.map((place) => rampPast(place, kink) * kinkSlope(1))),
    ...stretch.map((gap) => stepAtMarks(places, gap)),
  ]
}

/** A form among others, by the features it is made of. */
interface ListedForm {
  readonly form: CurveForm
  readonly first: number
  /** -1 for none. */
  readonly second: number
  readonly logPrior: number
}

/** Forms with one feature or two, and the features they share. */
interface FormList {
  readonly forms: readonly ListedForm[]
  readonly features: FeaturesAtMarks
}

/** The logarithm of the share of dials with nothing beside line and straying. */
export const LOG_PLAIN = Math.log(PLAIN)

/** One corner, anywhere along the dial. */
export function cornerForms(places: readonly number[]): FormList {
  const forms = singleKinks(places).map((kink): CurveForm => ({ kinks: [kink], stretch: [] }))
  return {
    forms: forms.map((form, first) => ({
      form,
      first,
      second: -1,
      logPrior: Math.log(EACH / forms.length),
    })),
    features: featuresAtMarks(forms.flatMap((form) => directionsAtMarks(places, form))),
  }
}

/** A level stretch or a jump within a gap, as likely as the gap is wide, or across a mark; and two corners. */
export function stretchForms(places: readonly number[]): FormList {
  const gaps = places.slice(1).map((_, gap) => gap)
  const corners = pairedKinks(places)
  const pairs = (corners.length * (corners.length - 1)) / 2
  const within = gaps.map(
    (gap): ListedForm => ({
      form: { kinks: [], stretch: [gap] },
      first: gap,
      second: -1,
      logPrior: Math.log(EACH * WITHIN_GAP * (places[gap + 1]! - places[gap]!)),
    }),
  )
  const across = gaps.slice(1).map(
    (gap): ListedForm => ({
      form: { kinks: [], stretch: [gap - 1, gap] },
      first: gap - 1,
      second: gap,
      logPrior: Math.log((EACH * (1 - WITHIN_GAP)) / (gaps.length - 1)),
    }),
  )
  const paired = corners.flatMap((kink, a) =>
    corners.slice(a + 1).map(
      (other, later): ListedForm => ({
        form: { kinks: [kink, other], stretch: [] },
        first: gaps.length + a,
        second: gaps.length + a + 1 + later,
        logPrior: Math.log(EACH / pairs),
      }),
    ),
  )
  const single = [
    ...gaps.map((gap): CurveForm => ({ kinks: [], stretch: [gap] })),
    ...corners.map((kink): CurveForm => ({ kinks: [kink], stretch: [] })),
  ]
  return {
    forms: [...within, ...across, ...paired],
    features: featuresAtMarks(single.flatMap((form) => directionsAtMarks(places, form))),
  }
}

/** What a form adds to the log likelihood of the marks, and its prior. */
export function logWeightOf({ features }: FormList, { first, second, logPrior }: ListedForm): number {
  return logPrior + (second < 0 ? logGainOfOne(features, first) : logGainOfTwo(features, first, second))
}
