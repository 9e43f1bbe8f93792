import { CURVE_FAMILIES, type DialCurve, dialCurve, type SeededRandom } from '../../src/simulation/index.js'

/** Ends of every simulated dial. */
export const DIAL_MIN = 0
export const DIAL_MAX = 10

type Shape = (place: number) => number

/**
 * Families that the program's method was not found with, as shapes on a dial scaled to 0…1 that rise from 0 to 1.
 * Our own forms after common drives; invented, no source.
 */
const FRESH_SHAPES: Readonly<Record<string, (random: SeededRandom) => Shape>> = {
  // A triac's firing angle: the effective voltage of the rest of each half wave.
  'phase angle': () => (u) => Math.sqrt(Math.max(0, u - Math.sin(2 * Math.PI * u) / (2 * Math.PI))),
  // A wiper that the circuit behind it loads: slow, then steep at the end.
  'loaded wiper': () => (u) => (0.3 * u) / (1 - 0.7 * u),
  // Three straight pieces: a dead band, a steep part, a gentle one.
  'two kinks': () => (u) =>
    u < 0.04 ? 0 : u < 0.5 ? (0.72 * (u - 0.04)) / 0.46 : 0.72 + (0.28 * (u - 0.5)) / 0.5,
  // A worn carbon track: straight with a slow waver.
  'worn track': () => (u) => u + 0.018 * Math.sin(6 * Math.PI * u),
  // A stretch where the dial does next to nothing, anywhere and of any length.
  shelf: (random) => {
    const [from, length, slope] = [
      0.2 + 0.4 * random.uniform(),
      0.1 + 0.3 * random.uniform(),
      0.4 * random.uniform(),
    ]
    const rise = (u: number) => u - (1 - slope) * Math.min(length, Math.max(0, u - from))
    return (u) => rise(u) / rise(1)
  },
  // The rate of rise wavers by a random course of its own: no two machines alike.
  'drawn anew for each machine': (random) => drawnShape(random),
}

/**
 * A waver of up to five turns along the dial that changes its slope by up to 60 %: more than few marks can show, and
 * what no band drawn from them can hold. Told, and decides nothing.
 */
const UNSEEN_SHAPES: Readonly<Record<string, (random: SeededRandom) => Shape>> = {
  'fast waver': (random) => {
    const turns = 2 * Math.PI * (1 + 4 * random.uniform())
    const size = (0.1 + 0.5 * random.uniform()) / turns
    const phase = 2 * Math.PI * random.uniform()
    const rise = (u: number) => u + size * (Math.sin(turns * u + phase) - Math.sin(phase))
    return (u) => rise(u) / rise(1)
  },
}

/**
 * Kept apart: no method is worked out on these, a finished one is judged on them. Our own forms; invented, no source.
 */
const KEPT_SHAPES: Readonly<Record<string, (random: SeededRandom) => Shape>> = {
  // A potentiometer with a logarithmic track.
  'logarithmic track': () => (u) => Math.expm1(3 * u) / Math.expm1(3),
  // A fast start that tires, and a second wind near the end.
  'two bows': () => (u) => 0.6 * Math.tanh(3 * u) + (1 - 0.6 * Math.tanh(3)) * u ** 4,
  // Straight, with the last part worn so that it hardly does anything.
  'worn end': (random) => {
    const from = 0.7 + 0.2 * random.uniform()
    const rise = (u: number) => Math.min(u, from) + 0.08 * Math.max(0, u - from)
    return (u) => rise(u) / rise(1)
  },
  // A stretch in the middle where the slope halves and comes back.
  'slack in the middle': (random) => {
    const [at, width] = [0.35 + 0.3 * random.uniform(), 0.06 + 0.1 * random.uniform()]
    const rise = (u: number) => u - 0.5 * width * (Math.tanh((u - at) / width) + Math.tanh(at / width))
    return (u) => rise(u) / rise(1)
  },
}

/** Families the simulation shares with the demo, and those of this proof alone. */
export const FRESH_FAMILIES: readonly string[] = Object.keys(FRESH_SHAPES)
export const FAMILIES: readonly string[] = [...CURVE_FAMILIES, ...FRESH_FAMILIES]
/** Families that a finished method is judged on. */
export const KEPT_FAMILIES: readonly string[] = Object.keys(KEPT_SHAPES)
/** Families that are told and decide nothing. */
export const UNSEEN_FAMILIES: readonly string[] = Object.keys(UNSEEN_SHAPES)
export const CONTINUOUS_FAMILIES: readonly string[] = FAMILIES.filter((family) => family !== 'stepped')

/**
 * The true dial curve of a family.
 * @throws RangeError for a family that there is none of
 */
export function familyCurve(family: string, fullFeedMmPerMin: number, random: SeededRandom): DialCurve {
  const known = CURVE_FAMILIES.find((name) => name === family)
  if (known !== undefined) {
    return dialCurve({ family: known, dialMin: DIAL_MIN, dialMax: DIAL_MAX, fullFeedMmPerMin })
  }
  const shape = (FRESH_SHAPES[family] ?? KEPT_SHAPES[family] ?? UNSEEN_SHAPES[family])?.(random)
  if (shape === undefined) throw new RangeError(`no dial family ${family}`)
  return (dial) => {
    const place = (Math.min(DIAL_MAX, Math.max(DIAL_MIN, dial)) - DIAL_MIN) / (DIAL_MAX - DIAL_MIN)
    return fullFeedMmPerMin * shape(place)
  }
}

const DRAWN_STEPS = 400

/** The integral of a positive rate, exp of two slow waves of random size and phase. */
function drawnShape(random: SeededRandom): Shape {
  const waves = [1, 2].map((turns) => ({
    turns,
    size: random.normal(0, 0.6 / turns),
    phase: 2 * Math.PI * random.uniform(),
  }))
  const rate = (u: number) =>
    Math.exp(
      waves.reduce(
        (sum, { turns, size, phase }) => sum + size * Math.sin(2 * Math.PI * turns * u + phase),
        0,
      ),
    )
  const risen = [0]
  for (let i = 0; i < DRAWN_STEPS; i++) risen.push(risen[i]! + rate((i + 0.5) / DRAWN_STEPS))
  const full = risen[DRAWN_STEPS]!
  return (u) => {
    const i = Math.min(DRAWN_STEPS - 1, Math.floor(u * DRAWN_STEPS))
    return (risen[i]! + (u * DRAWN_STEPS - i) * (risen[i + 1]! - risen[i]!)) / full
  }
}
