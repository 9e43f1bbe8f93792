import { GUARDS_S, holdTimeS } from '../../src/planning/index.js'
import { type JudgedRun, judgeRecording } from '../../src/regression/index.js'
import {
  type KnobTurn,
  type SeededRandom,
  type SimulatedMill,
  seededRandom,
  simulateTurnedTraverse,
  type TrueLevel,
} from '../../src/simulation/index.js'
import { type Direction, LEAST_LEVEL_S } from '../../src/traverse/index.js'
import { observe } from './full-chain.js'
import { drawnMill, pick } from './machines/drawn-mill.js'
import { READOUT_KINDS, type ReadoutKind } from './machines/readout-kinds.js'

export const TURNS: readonly KnobTurn[] = ['straight', 'slow', 'past-and-back', 'stop-between']

/** How the settings follow one another. */
export const ORDERS = ['rising', 'falling', 'every other', 'to and fro'] as const

interface LevelKind {
  readonly family: string
  readonly turn: KnobTurn
  readonly order: (typeof ORDERS)[number]
}

/** A travel through many settings, what was true of it and what the program made of it. */
interface JudgedLevels {
  readonly kind: LevelKind
  readonly readout: ReadoutKind
  readonly mill: SimulatedMill
  readonly levels: readonly TrueLevel[]
  readonly runs: readonly JudgedRun[]
}

/** Slower than this no setting is held, mm/min: the table creeps and a level takes minutes. */
const LEAST_FEED_MM_PER_MIN = 20

/** Draws a mill, a readout and a travel from a seed, and judges it; null where fewer than two settings fit in. */
export function judgedLevels(kind: LevelKind, seed: number): JudgedLevels | null {
  const random = seededRandom(seed)
  const mill = drawnMill(kind.family, seed + 1)
  const readout = pick(random, READOUT_KINDS)
  const direction: Direction = random.uniform() < 0.5 ? 1 : -1
  const settings = heldSettings(mill, settingsOf(mill, kind.order, random), random)
  if (settings.length < 2) return null
  const travel = simulateTurnedTraverse(mill, { direction, settings, turn: kind.turn }, seed + 2)
  const samples = observe(travel.motion, readout, {}, seed + 3)
  const pitch = random.uniform() < 0.5 ? { leadscrewPitchMm: mill.leadscrewPitchMm } : {}
  const runs = judgeRecording(samples, { levels: settings.length, ...pitch })
  return { kind, readout, mill, levels: travel.levels, runs }
}

function settingsOf(mill: SimulatedMill, order: LevelKind['order'], random: SeededRandom): number[] {
  const moving = mill.marks.filter((mark) => mill.curve(mark) > LEAST_FEED_MM_PER_MIN)
  if (order === 'falling') return moving.toReversed()
  const start = Math.floor(2 * random.uniform())
  const odd = moving.filter((_, i) => i % 2 === start)
  if (order === 'every other') return odd
  return order === 'to and fro' ? [...odd, ...moving.filter((_, i) => i % 2 !== start).toReversed()] : moving
}

/** As many of them as the travel has room for, each held as a person is told, and up to a fifth longer. */
function heldSettings(mill: SimulatedMill, dials: readonly number[], random: SeededRandom) {
  const settings: { dial: number; holdS: number }[] = []
  let usedMm = 0
  for (const dial of dials) {
    const feedMmPerS = mill.curve(dial) / 60
    const holdS =
      (holdTimeS(mill.curve(dial), mill.leadscrewPitchMm) + GUARDS_S) * (1 + 0.2 * random.uniform())
    // The turn of the knob takes up to five seconds.
    usedMm += feedMmPerS * (holdS + LEAST_LEVEL_S)
    if (usedMm > 0.95 * mill.travelMm) break
    settings.push({ dial, holdS })
  }
  return settings
}

/** Whether a level was found as what it was: a run that counts, whose steady part lies within the time that it was held. */
export function foundRight(level: TrueLevel, run: JudgedRun | undefined): boolean {
  const phases = run?.feed == null ? null : run.traverse.phases
  return phases !== null && phases.steadyFromS >= level.fromS - 0.5 && phases.steadyToS <= level.toS + 0.5
}
