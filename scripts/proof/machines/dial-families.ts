import {
  CURVE_FAMILIES,
  type DialCurve,
  dialCurve,
  type SeededRandom,
} from '../../../src/simulation/index.js'

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

/** What a track, a tap or a gear does to a small part of the dial. Our own forms; invented, no source. */
const LOCAL_SHAPES: Readonly<Record<string, (random: SeededRandom) => Shape>> = {
  // A worn spot: for a small part of the dial next to nothing happens.
  'flat spot': (random) => {
    const [from, length] = [0.12 + 0.66 * random.uniform(), 0.04 + 0.1 * random.uniform()]
    const [slope, power] = [0.1 * random.uniform(), 0.8 + 0.5 * random.uniform()]
    const moved = (u: number) => u - (1 - slope) * Math.min(length, Math.max(0, u - from))
    return (u) => (moved(u) / moved(1)) ** power
  },
  // A taper made of two straight tracks.
  'two-piece taper': (random) => {
    const [corner, ratio] = [0.35 + 0.3 * random.uniform(), 4 + 4 * random.uniform()]
    const rise = (u: number) => u + (ratio - 1) * Math.max(0, u - corner)
    return (u) => rise(u) / rise(1)
  },
  // A tap or a joint in the track, where the feed jumps.
  jump: (random) => {
    const [at, size] = [0.15 + 0.7 * random.uniform(), 0.05 + 0.1 * random.uniform()]
    const rise = (u: number) => u + size * Math.min(1, Math.max(0, (u - at) / 0.005))
    return (u) => rise(u) / rise(1)
  },
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
 * Tracks whose rate of rise wavers along all of the dial, at no place that the marks know of, and one that does not: what
 * the allowance for the unseen is weighed on (`npm run proof:curve -- --families wavering`). Our own forms; invented, no
 * source.
 */
const WAVERING_SHAPES: Readonly<Record<string, (random: SeededRandom) => Shape>> = {
  // The worn track above, its waver beginning anywhere.
  'worn track, any phase': (random) => {
    const phase = 2 * Math.PI * random.uniform()
    return scaled((u) => u + 0.018 * Math.sin(6 * Math.PI * u + phase))
  },
  // One and a half to four turns, 0.6 to 2.4 % of full scale.
  'slow waver': (random) => {
    const turns = 2 * Math.PI * (1.5 + 2.5 * random.uniform())
    const phase = 2 * Math.PI * random.uniform()
    // A waver that would make the feed fall is kept just below that.
    const size = Math.min(0.006 * 4 ** random.uniform(), 0.9 / turns)
    return scaled((u) => u + size * Math.sin(turns * u + phase))
  },
  // Twelve pieces that each rise at a rate of their own.
  'rough track': (random) => {
    const rates = Array.from({ length: 12 }, () => Math.exp(random.normal(0, 0.35)))
    return scaled((u) =>
      rates.reduce((sum, rate, i) => sum + rate * Math.min(1 / 12, Math.max(0, u - i / 12)), 0),
    )
  },
  // Straight after a dead band of any length below the first mark: what pays for the others.
  'straight, any dead band': (random) => {
    const from = 0.08 * random.uniform()
    return scaled((u) => Math.max(0, u - from))
  },
}

function scaled(rise: Shape): Shape {
  return (u) => (rise(u) - rise(0)) / (rise(1) - rise(0))
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
  // Two worn spots with soft edges.
  'two worn spots': (random) => {
    const spots = [0.12 + 0.25 * random.uniform(), 0.55 + 0.3 * random.uniform()].map((at) => ({
      at,
      half: 0.02 + 0.04 * random.uniform(),
    }))
    const ramp = (x: number) => 0.006 * Math.log1p(Math.exp(x / 0.006))
    const rise = (u: number) =>
      spots.reduce((sum, { at, half }) => sum - 0.95 * (ramp(u - at + half) - ramp(u - at - half)), u)
    return (u) => rise(u) / rise(1)
  },
  // A taper of two tracks, the steep one first, with a soft corner.
  'quick, then slow': (random) => {
    const [corner, ratio] = [0.3 + 0.4 * random.uniform(), 3 + 4 * random.uniform()]
    const rise = (u: number) => u + (ratio - 1) * (u - 0.01 * Math.log1p(Math.exp((u - corner) / 0.01)))
    return (u) => (rise(u) - rise(0)) / (rise(1) - rise(0))
  },
  // Two small jumps on a bowed track.
  'two taps': (random) => {
    const taps = [0.15 + 0.25 * random.uniform(), 0.5 + 0.35 * random.uniform()].map((at) => ({
      at,
      size: 0.03 + 0.07 * random.uniform(),
    }))
    const rise = (u: number) =>
      taps.reduce((sum, { at, size }) => sum + size / (1 + Math.exp((at - u) / 0.002)), u ** 0.8)
    return (u) => (rise(u) - rise(0)) / (rise(1) - rise(0))
  },
}

/** Families the simulation shares with the demo, and those of this proof alone. */
export const FRESH_FAMILIES: readonly string[] = Object.keys(FRESH_SHAPES)
/** Families of which a part between marks hides; the bands of `proof` and `proof:curve` are judged on them too. */
export const LOCAL_FAMILIES: readonly string[] = Object.keys(LOCAL_SHAPES)
export const FAMILIES: readonly string[] = [...CURVE_FAMILIES, ...FRESH_FAMILIES]
/** Families that the allowance for what no mark shows is weighed on. */
export const WAVERING_FAMILIES: readonly string[] = Object.keys(WAVERING_SHAPES)
/** Families that a finished method is judged on. */
export const KEPT_FAMILIES: readonly string[] = Object.keys(KEPT_SHAPES)
/** Families that are told and decide nothing. */
export const UNSEEN_FAMILIES: readonly string[] = Object.keys(UNSEEN_SHAPES)
export const CONTINUOUS_FAMILIES: readonly string[] = FAMILIES.filter((family) => family !== 'stepped')
/** Families that bands between marks are judged on. */
export const BAND_FAMILIES: readonly string[] = [...CONTINUOUS_FAMILIES, ...LOCAL_FAMILIES]

/**
 * The true dial curve of a family.
 * @throws RangeError for a family that there is none of
 */
export function familyCurve(family: string, fullFeedMmPerMin: number, random: SeededRandom): DialCurve {
  const known = CURVE_FAMILIES.find((name) => name === family)
  if (known !== undefined) {
    return dialCurve({ family: known, dialMin: DIAL_MIN, dialMax: DIAL_MAX, fullFeedMmPerMin })
  }
  const drawn =
    FRESH_SHAPES[family] ??
    LOCAL_SHAPES[family] ??
    WAVERING_SHAPES[family] ??
    KEPT_SHAPES[family] ??
    UNSEEN_SHAPES[family]
  const shape = drawn?.(random)
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
