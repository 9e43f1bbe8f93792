import { type JudgedRun, judgeRecording } from '../../src/regression/index.js'
import { type SeededRandom, seededRandom } from '../../src/simulation/index.js'
import type { Direction } from '../../src/traverse/index.js'
import { logUniform, pick } from './machines/drawn-mill.js'

/** Speed of a drive as a share of its feed, by the time since it was switched on, in mean delays of the ramp. */
type Ramp = (delays: number) => number

/** Ramps that the judgement was made with. */
export const KNOWN_RAMPS: Readonly<Record<string, Ramp>> = {
  exponential: (x) => -Math.expm1(-x),
  linear: (x) => Math.min(1, x / 2),
  's-shaped': (x) => smoothStep(x / 2),
  'over-shoot': secondOrder(0.6),
}

/** Ramps kept apart, which it is tested on. */
export const OTHER_RAMPS: Readonly<Record<string, Ramp>> = {
  'two lags': (x) => 1 - (1 + 2 * x) * Math.exp(-2 * x),
  'late, then exponential': (x) => (x < 0.4 ? 0 : -Math.expm1(-(x - 0.4) / 0.6)),
  'fast, then slow': (x) => 1 - 0.8 * Math.exp(-x / 0.625) - 0.2 * Math.exp(-x / 2.5),
  'half a cosine': (x) => (x >= 2 ? 1 : (1 - Math.cos((Math.PI * x) / 2)) / 2),
  'over-shoot, well damped': secondOrder(0.75),
}

/** From 0 to 1 with no corner at either end. */
export function smoothStep(u: number): number {
  return u >= 1 ? 1 : u * u * (3 - 2 * u)
}

/** Step response of second order with the damping given; its mean delay is 2·damping over the natural frequency. */
function secondOrder(damping: number): Ramp {
  const ringing = Math.sqrt(1 - damping * damping)
  return (x) => {
    const turned = 2 * damping * x
    const swing = Math.cos(ringing * turned) + (damping / ringing) * Math.sin(ringing * turned)
    return 1 - Math.exp(-damping * turned) * swing
  }
}

export const CUTS = [
  'whole',
  'began moving',
  'ended moving',
  'both ends cut',
  'lines lost at the start',
  'lines lost at the end',
  'lines lost midway',
] as const

interface FragmentKind {
  /** What is seen of the travel lasts so long, s. */
  readonly seenS: number
  readonly rateHz: number
  readonly cut: (typeof CUTS)[number]
}

interface JudgedFragment {
  readonly trueFeedMmPerMin: number
  /** The accepted run, or the first one refused; null where no traverse was found. */
  readonly run: JudgedRun | null
  /** What was drawn, for whoever looks into a miss. */
  readonly drawn: Readonly<Record<string, number | string | boolean>>
}

/** The motion is summed up in steps of so much, s. */
const STEP_S = 0.0005
const REST_AFTER_S = 4

/** One short traverse as the recording shows it, and what is made of it; all else is drawn. */
export function judgedFragment(
  kind: FragmentKind,
  ramps: Readonly<Record<string, Ramp>>,
  seed: number,
): JudgedFragment {
  const random = seededRandom(seed)
  const { seenS, cut } = kind
  const startSeen = ['whole', 'ended moving', 'lines lost at the end', 'lines lost midway'].includes(cut)
  const endCut = ['ended moving', 'both ends cut', 'lines lost at the end'].includes(cut)
  const drawn = {
    ramp: pick(random, Object.keys(ramps)),
    delayS: logUniform(random, 0.02, 1),
    feedMmPerMin: logUniform(random, 20, 2000),
    stepMm: pick(random, [0.005, 0.01, 0.0127]),
    jitterS: pick(random, [0.0005, 0.002, 0.005]),
    batchS: pick(random, [0, 0, 0.016]),
    coastS: logUniform(random, 0.03, 0.8),
    coastFades: random.uniform() < 0.4,
    rippleOfSpeed: random.uniform() < 0.5 ? 0 : 0.015 * random.uniform(),
    pitchMm: pick(random, [4, 5, 5.08, 6]),
    pitchKnown: random.uniform() < 0.5,
    direction: pick(random, [1, -1] as const),
    onS: 1.5 + 0.2 * random.uniform(),
    hiddenStartS: startSeen ? 0 : 3 * random.uniform() ** 2,
    midGapS: cut === 'lines lost midway' ? 0.6 + 2 * random.uniform() : 0,
    // Half of what ends in motion had been let go just before; the others are driven on for a while.
    drivenOnS: !endCut
      ? 0
      : random.uniform() < 0.5
        ? -Math.min(0.3 * seenS, 0.4 * random.uniform())
        : 3 * random.uniform(),
    silentBeforeS: 0.3 + 0.5 * random.uniform(),
  }
  const offS = drawn.onS + drawn.hiddenStartS + drawn.midGapS + seenS + drawn.drivenOnS
  const positions = moved(ramps[drawn.ramp]!, drawn, offS, random)
  const recording = recorded(positions, drawn, shown(kind, drawn, offS), kind.rateHz, random)
  const runs = judgeRecording(recording, drawn.pitchKnown ? { leadscrewPitchMm: drawn.pitchMm } : {})
  const run = runs.find((one) => one.feed !== null) ?? runs[0] ?? null
  return { trueFeedMmPerMin: drawn.feedMmPerMin, run, drawn }
}

interface Drawn {
  readonly delayS: number
  readonly feedMmPerMin: number
  readonly stepMm: number
  readonly jitterS: number
  readonly batchS: number
  readonly coastS: number
  readonly coastFades: boolean
  readonly rippleOfSpeed: number
  readonly pitchMm: number
  readonly direction: Direction
  readonly onS: number
  readonly hiddenStartS: number
  readonly midGapS: number
  readonly silentBeforeS: number
}

/** True positions of the table every `STEP_S`, mm. */
function moved(ramp: Ramp, drawn: Drawn, offS: number, random: SeededRandom): Float64Array {
  const { delayS, coastS, coastFades, onS, pitchMm, direction } = drawn
  const restS = offS + coastS * (coastFades ? 4 : 1)
  const steps = Math.ceil((restS + REST_AFTER_S) / STEP_S)
  const speedMmPerS = drawn.feedMmPerMin / 60
  const speedOff = ramp((offS - onS) / delayS)
  const coasting = (u: number): number => Math.max(0, coastFades ? 1.02 * Math.exp(-u) - 0.02 : 1 - u)
  const rippleMm = (drawn.rippleOfSpeed * pitchMm) / (2 * Math.PI)
  const phase = 2 * Math.PI * random.uniform()
  const positions = new Float64Array(steps)
  let travelMm = 0
  for (let i = 0; i < steps; i++) {
    const timeS = (i + 0.5) * STEP_S
    positions[i] =
      100 + direction * (travelMm + rippleMm * Math.sin((2 * Math.PI * travelMm) / pitchMm + phase))
    if (timeS <= onS) continue
    const share = timeS <= offS ? ramp((timeS - onS) / delayS) : speedOff * coasting((timeS - offS) / coastS)
    travelMm += share * speedMmPerS * STEP_S
  }
  return positions
}

/** Which moments the recording shows. */
function shown({ cut, seenS }: FragmentKind, drawn: Drawn, offS: number): (timeS: number) => boolean {
  const { onS, hiddenStartS, midGapS, silentBeforeS, coastS } = drawn
  const fromS = onS + hiddenStartS
  const toS = fromS + seenS
  switch (cut) {
    case 'whole':
      return () => true
    case 'began moving':
      return (timeS) => timeS >= fromS
    case 'ended moving':
      return (timeS) => timeS <= toS
    case 'both ends cut':
      return (timeS) => timeS >= fromS && timeS <= toS
    case 'lines lost at the start':
      return (timeS) => timeS <= onS - silentBeforeS || timeS >= fromS
    case 'lines lost at the end':
      return (timeS) => timeS <= toS || timeS >= offS + 1 + 4 * coastS
    case 'lines lost midway':
      return (timeS) => timeS <= onS + seenS / 2 || timeS >= onS + seenS / 2 + midGapS
  }
}

/** The lines of a readout: rounded, a little late, in batches. */
function recorded(
  positions: Float64Array,
  { stepMm, jitterS, batchS }: Drawn,
  isShown: (timeS: number) => boolean,
  rateHz: number,
  random: SeededRandom,
) {
  const timeS: number[] = []
  const positionMm: number[] = []
  const firstS = random.uniform() / rateHz
  const offsetMm = random.uniform() * stepMm
  let latestS = 0
  for (let k = 0; ; k++) {
    const readS = firstS + k / rateHz
    const at = Math.floor(readS / STEP_S)
    if (at >= positions.length) break
    const sentS = readS - jitterS * Math.log(1 - random.uniform())
    if (!isShown(readS)) continue
    latestS = Math.max(latestS, batchS > 0 ? Math.ceil(sentS / batchS) * batchS : sentS)
    timeS.push(latestS)
    positionMm.push(Math.round((positions[at]! + offsetMm) / stepMm) * stepMm)
  }
  const samples = {
    timeS: Float64Array.from(timeS),
    positionMm: Float64Array.from(positionMm),
    deviceTimeS: null,
  }
  return { samples, rejected: [], positionStepMm: stepMm }
}
