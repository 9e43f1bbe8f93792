/** Shapes a variable-speed drive's dial may have. */
type CurveFamily =
  | 'dead-band-then-straight'
  | 'saturating'
  | 's-shaped'
  | 'straight-with-a-kink'
  | 'rising-then-nearly-flat'
  | 'falling'
  | 'stepped'

export const CURVE_FAMILIES: readonly CurveFamily[] = [
  'dead-band-then-straight',
  'saturating',
  's-shaped',
  'straight-with-a-kink',
  'rising-then-nearly-flat',
  'falling',
  'stepped',
]

/** A dial and the feed at its fast end: the highest number, or the lowest one of a falling dial. */
interface DialCurveShape {
  readonly family: CurveFamily
  readonly dialMin: number
  readonly dialMax: number
  readonly fullFeedMmPerMin: number
}

/** The true feed in mm/min of a dial position; positions outside the dial give the feed of its end. */
export type DialCurve = (dial: number) => number

/**
 * The shapes on a dial scaled to 0…1, each rising from 0 at 0 to 1 at 1, but for the falling one, which is wired the
 * other way round and begins at 1. Our own forms, no source:
 * an audio-taper potentiometer is two tracks blended, which a steep logistic in the middle stands for.
 */
const SCALED_SHAPES: Readonly<Record<Exclude<CurveFamily, 'stepped'>, DialCurve>> = {
  'dead-band-then-straight': (u) => Math.max(0, (u - 0.07) / 0.93),
  saturating: (u) => (1 - Math.exp(-2.4 * u)) / (1 - Math.exp(-2.4)),
  's-shaped': (u) => 0.12 * u + (0.88 * u ** 2.2) / (u ** 2.2 + (1 - u) ** 2.2),
  'straight-with-a-kink': (u) => (u < 0.55 ? 0.55 * u : 0.55 * 0.55 + ((u - 0.55) * (1 - 0.55 ** 2)) / 0.45),
  falling: (u) => 1 - 0.94 * u ** 0.8,
  'rising-then-nearly-flat': (u) => (u < 0.62 ? (0.94 * u) / 0.62 : 0.94 + (0.06 * (u - 0.62)) / 0.38),
}

/**
 * Ratio of the fastest to the slowest feed of a stepped dial, which rise by a constant ratio as gearboxes do
 * (judgement: of our own invention).
 */
const STEPPED_RANGE = 24

/**
 * The true dial curve of a simulated drive. A stepped dial clicks to the nearest whole number.
 *
 * @throws RangeError when the dial has no length or the full feed is not positive
 * @example dialCurve({ family: 'saturating', dialMin: 0, dialMax: 10, fullFeedMmPerMin: 700 })(10) // 700
 */
export function dialCurve({ family, dialMin, dialMax, fullFeedMmPerMin }: DialCurveShape): DialCurve {
  if (!(dialMax > dialMin) || !(fullFeedMmPerMin > 0)) {
    throw new RangeError(`no dial curve from ${dialMin} to ${dialMax} with ${fullFeedMmPerMin} mm/min`)
  }
  const scaled = (dial: number) =>
    (Math.min(dialMax, Math.max(dialMin, dial)) - dialMin) / (dialMax - dialMin)
  if (family === 'stepped') {
    return (dial) => fullFeedMmPerMin * STEPPED_RANGE ** (scaled(Math.round(dial)) - 1)
  }
  const shape = SCALED_SHAPES[family]
  return (dial) => fullFeedMmPerMin * shape(scaled(dial))
}
