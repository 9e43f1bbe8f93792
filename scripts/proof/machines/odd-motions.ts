import { type JudgedRun, judgeRecording } from '../../../src/regression/index.js'
import {
  INCH_READOUT,
  type SeededRandom,
  seededRandom,
  type TableMotion,
} from '../../../src/simulation/index.js'
import { smoothStep } from '../fragments.js'
import { observe } from '../full-chain.js'
import { logUniform, pick } from './drawn-mill.js'

/** What makes a travel hard to judge. */
interface OddMotion {
  /** Share of the feed that the drive has reached after so many seconds, apart from the drift. */
  readonly ramp: (sinceS: number) => number
  /** Change of the speed, as a share a minute. */
  readonly driftPerMin: number
  /** How far the drive leads before the table lets go and catches up, mm; drawn anew for every jump. */
  readonly slipMm: readonly [number, number] | null
  /** How long the table takes to catch up, s, and the share of that lead which is left then. */
  readonly slipS: number
  readonly keptShare: number
  /** What the adapter gathers before it hands over, s, and the lines a second; drawn where it is null. */
  readonly batchS: number | null
  readonly rateHz: number | null
}

type Draw = (random: SeededRandom) => Partial<OddMotion>

/** Motions that the judgement was made with. */
export const KNOWN_MOTIONS: Readonly<Record<string, Draw>> = {
  'speeds up for 3 s, exponential': (random) => ({ ramp: exponential(0.8 + 0.4 * random.uniform()) }),
  'speeds up for 3 s, linear': (random) => ({ ramp: linear(2.7 + 0.6 * random.uniform()) }),
  'speeds up, exponential of 2 to 3 s': (random) => ({ ramp: exponential(2 + random.uniform()) }),
  'speeds up, linear in 5 s': (random) => ({ ramp: linear(4.5 + random.uniform()) }),
  'speeds up, s-shaped in 3 to 5 s': (random) => ({ ramp: smooth(3 + 2 * random.uniform()) }),
  '50 lines a second in batches of 50 ms': (random) => ({
    batchS: 0.05,
    rateHz: 50 * (1 + 0.004 * (random.uniform() - 0.5)),
  }),
  // Batches that nearly agree with the rate: the slowest saw tooth that there is.
  '60 lines a second in batches of 50 ms': (random) => ({
    batchS: 0.05,
    rateHz: 60 * (1 + 0.002 * (random.uniform() - 0.5)),
  }),
  'drifts by 0.3 to 1 % a minute': (random) => ({ driftPerMin: either(random, 0.003, 0.01) }),
  'sticks and slips by 0.25 to 0.4 mm': (random) => {
    const slipMm = 0.25 + 0.15 * random.uniform()
    return { slipMm: [slipMm, slipMm] }
  },
}

/** Motions kept apart, which it is tested on. */
export const OTHER_MOTIONS: Readonly<Record<string, Draw>> = {
  'speeds up, exponential of 0.4 to 3 s': (random) => ({ ramp: exponential(logUniform(random, 0.4, 3)) }),
  'speeds up, linear in 1.5 to 6 s': (random) => ({ ramp: linear(logUniform(random, 1.5, 6)) }),
  'speeds up, two lags of 0.3 to 1.5 s': (random) => ({ ramp: twoLags(logUniform(random, 0.3, 1.5)) }),
  'speeds up, fast then slow': (random) => ({ ramp: fastThenSlow(0.1, logUniform(random, 1, 3), 0.2) }),
  'speeds up, fast then slow in any share': (random) => ({
    ramp: fastThenSlow(
      logUniform(random, 0.05, 0.2),
      logUniform(random, 0.8, 3),
      logUniform(random, 0.08, 0.4),
    ),
  }),
  'batches of 20 to 250 ms': (random) => ({
    batchS: pick(random, [0.02, 0.032, 0.04, 0.05, 0.064, 0.1, 0.128, 0.2, 0.25]),
  }),
  'drifts by 0.05 to 2 % a minute': (random) => ({ driftPerMin: either(random, 0.0005, 0.02) }),
  'sticks and slips by 0.15 to 0.6 mm, unevenly': (random) => {
    const slipMm = logUniform(random, 0.15, 0.45)
    return { slipMm: [0.6 * slipMm, 1.4 * slipMm] }
  },
  'sticks and slips for 10 to 80 ms, never free': (random) => {
    const slipMm = logUniform(random, 0.2, 0.5)
    return {
      slipMm: [0.75 * slipMm, 1.25 * slipMm],
      slipS: logUniform(random, 0.01, 0.08),
      keptShare: 0.1 + 0.3 * random.uniform(),
    }
  },
}

function either(random: SeededRandom, low: number, high: number): number {
  return (random.uniform() < 0.5 ? -1 : 1) * logUniform(random, low, high)
}

function exponential(timeConstantS: number): OddMotion['ramp'] {
  return (s) => -Math.expm1(-s / timeConstantS)
}

function linear(lastsS: number): OddMotion['ramp'] {
  return (s) => Math.min(1, s / lastsS)
}

function smooth(lastsS: number): OddMotion['ramp'] {
  return (s) => smoothStep(s / lastsS)
}

function twoLags(lagS: number): OddMotion['ramp'] {
  return (s) => 1 - (1 + s / lagS) * Math.exp(-s / lagS)
}

function fastThenSlow(fastS: number, slowS: number, slowShare: number): OddMotion['ramp'] {
  return (s) => 1 - (1 - slowShare) * Math.exp(-s / fastS) - slowShare * Math.exp(-s / slowS)
}

interface JudgedMotion {
  /**
   * The speed that the drive comes to; where it drifts, the mean while it drives after the ramp. mm/min
   */
  readonly trueFeedMmPerMin: number
  readonly runs: readonly JudgedRun[]
  /** What was drawn, for whoever looks into a miss. */
  readonly drawn: Readonly<Record<string, number | boolean | null>>
}

/** The motion is summed up in steps of so much, s. */
const STEP_S = 0.001
const REST_S = 2.5

/** One traverse of this kind of motion, through the whole chain from bytes to feed; all else is drawn. */
export function judgedMotion(draw: Draw, seed: number): JudgedMotion {
  const random = seededRandom(seed)
  const odd: OddMotion = {
    ramp: exponential(logUniform(random, 0.03, 0.15)),
    driftPerMin: 0,
    slipMm: null,
    slipS: 0,
    keptShare: 0,
    batchS: null,
    rateHz: null,
    ...draw(random),
  }
  const pitchMm = pick(random, [2.54, 4, 5, 5.08, 6.35])
  const pitchKnown = random.uniform() < 0.5
  const drawn = {
    feedMmPerMin: logUniform(random, 20, 600),
    drivenS: logUniform(random, 8, 45),
    rateHz: odd.rateHz ?? logUniform(random, 10, 50),
    stepMm: pick(random, [0.005, 0.01]),
    batchS: odd.batchS ?? pick(random, [0, 0.016]),
    jitterS: logUniform(random, 0.0002, 0.002),
    rippleOfSpeed: pick(random, [0, 0.01, 0.02]),
    coastS: logUniform(random, 0.05, 0.4),
    pitchMm,
    pitchKnown,
    driftPerMin: odd.driftPerMin,
    slipMm: odd.slipMm?.[1] ?? null,
    rampShareAt3S: odd.ramp(3),
  }
  const motion = summedUp(odd, drawn, random)
  const samples = observe(
    motion,
    {
      name: 'drawn',
      readout: { ...INCH_READOUT, unit: 'mm', stepMm: drawn.stepMm, refreshHz: drawn.rateHz },
      link: { baud: 57_600, jitterS: drawn.jitterS, usbBatchS: drawn.batchS },
    },
    {},
    seed + 1,
  )
  const runs = judgeRecording(samples, pitchKnown ? { leadscrewPitchMm: pitchMm } : {})
  return { trueFeedMmPerMin: drawn.feedMmPerMin, runs, drawn }
}

interface Drawn {
  readonly feedMmPerMin: number
  readonly drivenS: number
  readonly rippleOfSpeed: number
  readonly coastS: number
  readonly pitchMm: number
}

/** Where the table is at every moment; a drift changes the feed about the middle of the time that it drives. */
function summedUp(odd: OddMotion, drawn: Drawn, random: SeededRandom): TableMotion {
  const { drivenS, coastS, feedMmPerMin, pitchMm, rippleOfSpeed } = drawn
  const durationS = REST_S + drivenS + coastS + REST_S + 1
  const drift = (s: number): number => 1 + (odd.driftPerMin * (s - drivenS / 2)) / 60
  const slip = odd.slipMm
  const nextSlipMm = (): number => (slip === null ? 0 : slip[0] + (slip[1] - slip[0]) * random.uniform())
  const rippleMm = (rippleOfSpeed * pitchMm) / (2 * Math.PI)
  const phase = 2 * Math.PI * random.uniform()
  const positions = new Float64Array(Math.ceil(durationS / STEP_S) + 2)
  let driveMm = 0
  let tableMm = 0
  let slipMm = nextSlipMm()
  let slips = false
  for (let i = 0; i < positions.length; i++) {
    positions[i] = 100 + tableMm + rippleMm * Math.sin((2 * Math.PI * tableMm) / pitchMm + phase)
    const sinceS = (i + 0.5) * STEP_S - REST_S
    if (sinceS <= 0) continue
    const share =
      sinceS <= drivenS
        ? odd.ramp(sinceS) * drift(sinceS)
        : odd.ramp(drivenS) * drift(drivenS) * Math.max(0, 1 - (sinceS - drivenS) / coastS)
    const drivenMm = ((share * feedMmPerMin) / 60) * STEP_S
    driveMm += drivenMm
    slips ||= driveMm - tableMm >= slipMm
    if (!slips) continue
    const freeMm = (1 - odd.keptShare) * slipMm
    tableMm = Math.min(
      driveMm - odd.keptShare * slipMm,
      tableMm + drivenMm + (odd.slipS > 0 ? (freeMm / odd.slipS) * STEP_S : freeMm),
    )
    slips = driveMm - tableMm > odd.keptShare * slipMm + 1e-9
    if (!slips) slipMm = nextSlipMm()
  }
  return {
    durationS,
    positionMmAt: (timeS) => {
      const at = Math.min(positions.length - 2, Math.max(0, timeS / STEP_S))
      const i = Math.floor(at)
      return positions[i]! + (at - i) * (positions[i + 1]! - positions[i]!)
    },
    speedMmPerSAt: () => Number.NaN,
  }
}
