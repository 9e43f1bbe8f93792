import { barLevels, litContrast, type Polarity } from './bar-levels.js'
import { BLANK, FIGURES, MINUS, SEGMENTS } from './figures.js'
import type { DisplayBox, DisplayLayout, GreyFrame } from './grey-frame.js'
import { boxSize, type Placement, placePoints } from './placement.js'
import { spread } from './spread.js'

/** A display that was found in a film. */
export interface FoundDisplay {
  readonly box: DisplayBox
  readonly layout: DisplayLayout
  readonly placement: Placement
  readonly polarity: Polarity
  /** How well the bars agree with figures, 1 at best. */
  readonly agreement: number
}

/** Frames that the places are looked for in: few for a first look at many guesses, then more. Judgement. */
const FIRST_LOOK = 5
const SECOND_LOOK = 14
/** Guesses that are followed up after the first look. Judgement: the right one was among the best six in every trial. */
const FOLLOWED = 10
/** Halvings of the steps of the search. Derived: a thirty-second of the first step is well below a pixel. */
const HALVINGS = 5
/** Gain of agreement below which a step is none. Judgement: a thousandth of what a good display reaches. */
const LEAST_GAIN = 0.0005

/**
 * Finds where the figures lie in the frame that a person drew, by trying where the bars agree best with figures: height
 * and width of the figures, lean, tilt, and whether bars are bright or dark.
 *
 * @param frames spread over the film, so that the last places show many figures
 * @returns null where nothing looks like figures
 */
export function findPlacement(
  frames: readonly GreyFrame[],
  box: DisplayBox,
  layout: DisplayLayout,
): FoundDisplay | null {
  if (frames.length === 0) return null
  const places = layout.digits + (layout.sign ? 1 : 0)
  const agreementOver = (some: readonly GreyFrame[]) => (placement: Placement, polarity: Polarity) =>
    agreement(contrastsIn(some, box, placement, layout), polarity, layout)
  const careful = agreementOver(spread(frames, SECOND_LOOK))
  const few = spread(frames, FIRST_LOOK)
  const quick = agreementOver(few)
  const guesses = firstGuesses(box, places).flatMap((placement) => {
    const contrasts = contrastsIn(few, box, placement, layout)
    return ([1, -1] as const).map((polarity) => ({
      ...{ placement, polarity },
      agreement: agreement(contrasts, polarity, layout),
    }))
  })
  const best = guesses
    .sort((a, b) => b.agreement - a.agreement)
    .slice(0, FOLLOWED)
    .map((guess) => climb(guess, quick))
    .sort((a, b) => b.agreement - a.agreement)
    .slice(0, 2)
    .map(({ placement, polarity }) =>
      climb({ placement, polarity, agreement: careful(placement, polarity) }, careful),
    )
    .sort((a, b) => b.agreement - a.agreement)[0]
  if (best === undefined || best.agreement <= 0) return null
  return { box, layout, ...best }
}

interface Guess {
  readonly placement: Placement
  readonly polarity: Polarity
  readonly agreement: number
}

/** Frames drawn by hand leave room at each side; figures are a third to half as wide as their places are apart. */
function firstGuesses(box: DisplayBox, places: number): Placement[] {
  const [width, height] = boxSize(box)
  const guesses: Placement[] = []
  for (const tall of [0.62, 0.74, 0.86])
    for (const share of [0.84, 0.92, 1])
      for (const aside of [-0.2, 0, 0.2])
        for (const wide of [0.29, 0.35])
          for (const slant of [0, 0.12]) {
            const pitch = (share * width) / (places - 1 + 0.75)
            guesses.push({
              firstX: width / 2 - ((places - 1) / 2) * pitch + aside * pitch,
              pitch,
              halfWidth: wide * pitch,
              middleY: height / 2,
              halfHeight: (tall * height) / 2,
              slant,
              tilt: 0,
            })
          }
  return guesses
}

/** Goes uphill one measure at a time, with ever smaller steps. */
function climb(from: Guess, agreementOf: (placement: Placement, polarity: Polarity) => number): Guess {
  let best = from
  const { pitch, halfHeight } = from.placement
  const steps: Record<keyof Placement, number> = {
    firstX: pitch / 8,
    pitch: pitch / 24,
    halfWidth: pitch / 16,
    middleY: halfHeight / 8,
    halfHeight: halfHeight / 8,
    slant: 0.06,
    tilt: 0.03,
  }
  for (let halving = 0; halving < HALVINGS; ) {
    let better = false
    for (const name of Object.keys(steps) as (keyof Placement)[]) {
      for (const sign of [1, -1]) {
        const moved = shifted(best.placement, name, sign * steps[name], from.placement)
        const agreement = agreementOf(moved, best.polarity)
        if (!(agreement > best.agreement + LEAST_GAIN)) continue
        best = { ...best, placement: moved, agreement }
        better = true
      }
    }
    if (better) continue
    halving += 1
    for (const name of Object.keys(steps) as (keyof Placement)[]) steps[name] /= 2
  }
  return best
}

/** Moves one measure; what turns or widens the row does so about its middle, so that the measures hardly bear on one another. */
function shifted(placement: Placement, name: keyof Placement, by: number, start: Placement): Placement {
  const moved = { ...placement, [name]: placement[name] + by }
  const middleX = start.pitch * 2 + start.firstX
  if (name === 'tilt') return { ...moved, middleY: placement.middleY - by * middleX }
  if (name === 'pitch') return { ...moved, firstX: placement.firstX - 2 * by }
  return moved
}

/** Contrast of bright bars in every frame and place; null where no figures are as wide. */
function contrastsIn(
  frames: readonly GreyFrame[],
  box: DisplayBox,
  placement: Placement,
  { sign, digits }: DisplayLayout,
): Float64Array[][] | null {
  if (placement.halfWidth < 0.15 * placement.pitch || placement.halfWidth > 0.47 * placement.pitch)
    return null
  const points = placePoints(placement, digits + (sign ? 1 : 0), box)
  return frames.map((frame) => points.map((place) => barLevels(frame, place, 1).contrast))
}

/**
 * How well the bars agree with the figures that fit them best, grey levels over 255. Contrast counts, or the noise of plain
 * ground would do as well as figures; and bars that are lit count, or the upper half of an 8 would do as well as a 7.
 */
function agreement(
  contrasts: readonly (readonly Float64Array[])[] | null,
  polarity: Polarity,
  { sign }: DisplayLayout,
): number {
  if (contrasts === null) return -1
  let sum = 0
  for (const bright of contrasts) {
    const places = polarity === 1 ? bright : bright.map((contrast) => contrast.map((level) => -level))
    const lit = litContrast(places)
    if (lit <= 0) return -1
    let fits = 0
    places.forEach((contrast, place) => {
      fits += sign && place === 0 ? bestFit(contrast, lit, SIGNS) : bestFit(contrast, lit, FIGURES_OR_BLANK)
    })
    sum += lit * (fits / places.length)
  }
  return sum / contrasts.length / 255
}

/** A minus that is found is as good a sign of the right place as a figure is. */
const SIGNS: readonly Pattern[] = [worthOf(BLANK), { lit: MINUS, worth: 1 }]
const FIGURES_OR_BLANK = [...FIGURES.map(({ lit }) => lit), BLANK].map(worthOf)

interface Pattern {
  readonly lit: readonly boolean[]
  /** What a place that fits counts: more bars more, an 8 for one, a blank for little, since any plain ground fits it. */
  readonly worth: number
}

function worthOf(lit: readonly boolean[]): Pattern {
  return { lit, worth: (lit.filter((one) => one).length + 2) / (SEGMENTS + 2) }
}

function bestFit(contrast: Float64Array, lit: number, patterns: readonly Pattern[]): number {
  let best = -1
  for (const pattern of patterns) {
    let off = 0
    for (let bar = 0; bar < SEGMENTS; bar += 1) {
      const share = Math.min(1.2, Math.max(-0.2, contrast[bar]! / lit))
      off += (share - (pattern.lit[bar] ? 1 : 0)) ** 2
    }
    const fit = (1 - off / 2) * pattern.worth
    if (fit > best) best = fit
  }
  return best
}
