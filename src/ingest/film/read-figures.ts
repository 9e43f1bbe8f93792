import { medianHigh } from '../../numbers/median-high.js'
import { type BarLevels, barLevels, litContrast, mostContrast, type Polarity } from './bar-levels.js'
import { FIGURES, type Figure, SEGMENTS } from './figures.js'
import type { FoundDisplay } from './find-placement.js'
import type { GreyFrame } from './grey-frame.js'
import { linesThrough, placePoints } from './placement.js'

/** What was read in one place. */
type ReadFigure = Figure | 'blank' | 'minus'

/** What one frame shows. */
export interface FrameReading {
  readonly timeS: number
  /** One for each place; null where a place is not certain. */
  readonly places: readonly (ReadFigure | null)[]
  /** In units of the last digit, with its sign; null where a place is not certain. */
  readonly count: number | null
}

/**
 * How far a bar must be from half way between off and on, as a share of the way to either. Judgement: noise, blur and
 * shaking move a bar by less than a quarter of its contrast; bars of liquid crystal that fade, and mixtures of two
 * numbers, lie in between for longer than the two frames that a number has to stay.
 */
const CERTAIN = 0.5
/**
 * Share of a lit bar's contrast that there must be room for between the ground and the end of the grey scale, before a
 * bar that was never seen lit counts as off: where light drowns the display nothing can be seen to be off. Derived: with
 * less a lit bar would come near to what counts as off.
 */
const ROOM = 0.6
/** Contrast below which there is no display, grey levels. Judgement: about the noise of a film at dusk. */
const LEAST_CONTRAST = 12
/** Frames that show a bar lit, or off, from which its brightness is learned. Judgement: enough for a median. */
const LEAST_SEEN = 5
/**
 * Least contrast between a bar that is lit and one that is off, as a share of the usual one. Judgement: less is a
 * reflection that happens to come and go.
 */
const LEAST_SPAN = 0.4

/**
 * Most that may stand out in a place that counts as blank, as a share of a lit bar's contrast. Judgement: a bar that is off
 * shows a fifth at most, and a minus that lies half beside where it was looked for shows half.
 */
const MOST_IN_BLANK = 0.4

/** What one bar shows when it is off and when it is lit, as shares of the contrast of lit bars in its frame. */
interface BarScale {
  readonly off: number
  readonly on: number
  /** It was seen lit, so that what it would show is known. */
  readonly wasLit: boolean
}

/** What was learned of a display over a film. */
interface DisplayScale {
  /** Usual contrast of lit bars, grey levels. */
  readonly contrast: number
  /** Of each bar of each place. */
  readonly places: readonly (readonly BarScale[])[]
}

/**
 * Learns what each bar shows when it is lit and when it is off: a place may be dim, half in a reflection, or show its
 * bars faintly when they are off.
 */
export function learnScale(frames: readonly GreyFrame[], display: FoundDisplay): DisplayScale {
  const points = pointsOf(display)
  const contrasts: number[] = []
  const shares: number[][][] = points.map(() => Array.from({ length: SEGMENTS }, () => []))
  for (const frame of frames) {
    const levels = points.map((place) => barLevels(frame, place, display.polarity))
    const lit = litContrast(levels.map(({ contrast }) => contrast))
    contrasts.push(lit)
    levels.forEach(({ contrast }, place) => {
      contrast.forEach((one, bar) => {
        shares[place]![bar]!.push(one / lit)
      })
    })
  }
  const all = shares.flat(2)
  const usual = {
    off: middle(all.filter((share) => share <= 0.5)),
    on: middle(all.filter((share) => share > 0.5)),
  }
  return {
    contrast: middle(contrasts),
    places: shares.map((bars) => {
      const lit = bars.flat().filter((share) => share > 0.5)
      const ofPlace = { off: usual.off, on: lit.length < LEAST_SEEN ? usual.on : middle(lit) }
      return bars.map((of) => barScale(of, ofPlace))
    }),
  }
}

function barScale(shares: readonly number[], usual: Pick<BarScale, 'off' | 'on'>): BarScale {
  const half = (usual.off + usual.on) / 2
  const [lit, dark] = [shares.filter((share) => share > half), shares.filter((share) => share <= half)]
  const wasLit = lit.length >= LEAST_SEEN
  return {
    on: wasLit ? middle(lit) : usual.on,
    off: dark.length >= LEAST_SEEN ? middle(dark) : usual.off,
    wasLit,
  }
}

/** Reads every place of the display in a frame. */
export function frameReader(display: FoundDisplay, scale: DisplayScale): (frame: GreyFrame) => FrameReading {
  const points = pointsOf(display)
  const { sign } = display.layout
  const through = linesThrough(display.placement, points.length, display.box)
  return (frame) => {
    const levels = points.map((place) => barLevels(frame, place, display.polarity))
    const lit = litContrast(levels.map(({ contrast }) => contrast))
    const dim = lit < LEAST_CONTRAST || lit < scale.contrast / 2
    const places = levels.map((level, place) =>
      dim ? null : readPlace(level, lit, scale.places[place]!, display.polarity, sign && place === 0),
    )
    places.forEach((read, place) => {
      const isBlank = read === 'blank'
      if (isBlank && mostContrast(frame, through[place]!, display.polarity) > MOST_IN_BLANK * lit)
        places[place] = null
    })
    const count = countOf(places, sign)
    return { timeS: frame.timeS, places, count }
  }
}

function pointsOf({ placement, layout, box }: FoundDisplay) {
  return placePoints(placement, layout.digits + (layout.sign ? 1 : 0), box)
}

function readPlace(
  { contrast, ground }: BarLevels,
  lit: number,
  scales: readonly BarScale[],
  polarity: Polarity,
  isSign: boolean,
): ReadFigure | null {
  const bars: boolean[] = []
  for (let bar = 0; bar < SEGMENTS; bar += 1) {
    const { off, on, wasLit } = scales[bar]!
    if (on - off < LEAST_SPAN) return null
    const share = (contrast[bar]! / lit - off) / (on - off)
    bars.push(share > 0.5)
    if (Math.abs(2 * share - 1) < CERTAIN) return null
    const room = polarity === 1 ? 255 - ground[bar]! : ground[bar]!
    // A ground at the end of the scale may be far beyond it, and hide a dark bar as well as a bright one.
    const drowned = room < ROOM * on * lit || (polarity === -1 && ground[bar]! > 250)
    if (share <= 0.5 && drowned && !wasLit) return null
  }
  if (bars.every((one) => !one)) return 'blank'
  if (isSign) return bars.every((one, bar) => one === (bar === SEGMENTS - 1)) ? 'minus' : null
  return FIGURES.find(({ lit: drawn }) => drawn.every((one, bar) => one === bars[bar])) ?? null
}

/** The number that the places say; blank places may stand in front of the first figure alone. */
function countOf(places: readonly (ReadFigure | null)[], sign: boolean): number | null {
  let count = 0
  let begun = false
  for (const place of sign ? places.slice(1) : places) {
    if (place === null || place === 'minus') return null
    if (place === 'blank') {
      if (begun) return null
      continue
    }
    begun = true
    count = 10 * count + place.value
  }
  if (!begun || (sign && places[0] === null)) return null
  return sign && places[0] === 'minus' ? -count : count
}

function middle(values: readonly number[]): number {
  return values.length === 0 ? 0 : medianHigh(values)
}
