import { median, standardDeviation } from 'simple-statistics'
import type { SampleSeries } from '../../ingest/index.js'
import { straightLine } from '../../numbers/index.js'
import { type FindTraversesOptions, motionsIn, paceOf, unitSwitchedBefore } from '../phases/find-traverses.js'
import type { Stretch } from '../phases/motions.js'
import type { Traverse } from '../traverse.js'
import { judgeLevel } from './judge-level.js'
import { type LevelPoints, levelPoints, UNSEEN_RIPPLE_MM, weights } from './level-points.js'
import { screwRipple } from './screw-ripple.js'
import { splitLevels } from './split-levels.js'

interface FindLevelsOptions extends FindTraversesOptions {
  /** Pitch of the leadscrew, mm; left out where it is not known. */
  readonly leadscrewPitchMm?: number | undefined
  /** How many settings the dial was turned through; left out for as many as show. */
  readonly count?: number | undefined
}

/**
 * Shortest level, s. Judgement: half way, in ratio, between how long a hand rests on its way (up to 3 s) and how
 * long a setting is held (7 s and more).
 */
export const LEAST_LEVEL_S = 5
/**
 * What is left of ripple once it is taken out, as a share of it: its second harmonic, a pitch not quite right.
 * Judgement.
 */
const LEFT_OF_RIPPLE = 0.25
/** The same, mm, where none was found. Judgement: a third of what goes unseen. */
const LEFT_OVER_MM = 0.006
/** The same in steps of the readout. Judgement: half a step, more than rounding alone (1/√12). */
const LEFT_OVER_STEPS = 0.5
/**
 * How much a level must better the parting, in variances, at first with the ripple in it; see `SplitOptions`.
 * Judgement: ripple itself betters it by some tens.
 */
const ROUGH = 150
/** The same once the ripple is out. Judgement, kept by the proof of levels. */
const USUAL = 40
/**
 * Where the count is told and another shows, partings this much finer and coarser are tried as well (judgement).
 */
const OTHERS = [25, 80] as const
/**
 * Share of the usual level below which a level, its speed between those beside it, is a rest of the hand. Measured by
 * `npm run proof:levels`: with the drive's lag such a rest looks like two thirds of a level; the shortest level is held
 * for five sixths of the usual one.
 */
const SHORT_SHARE = 0.75
/**
 * Share of the fastest level below which the table stands, or creeps as it does with the dial at nothing.
 * Judgement.
 */
const STANDS_SHARE = 0.002

/**
 * Finds the level parts of a travel in which the dial was turned from setting to setting: stretches of one speed, the
 * turning between them and the drive's lag left out. Each is judged as a traverse of its own.
 *
 * @returns in order of time; empty where the table never moved
 * @throws RangeError where the position step is not positive
 */
export function findLevels(samples: SampleSeries, options: FindLevelsOptions): Traverse[] {
  const found = motionsIn(samples, options.positionStepMm)
  const { usable, rejoined, track, limits } = found
  const parts = found.motions.map((motion) => ({
    motion,
    partings: partingsOf(levelPointsOf(track, motion, options), options),
  }))
  // The same fineness for all motions: the count is that of all together.
  const totals = PARTINGS.map((_, k) => parts.reduce((sum, part) => sum + part.partings[k]!.length, 0))
  const fits = totals.indexOf(options.count ?? -1)
  const chosen = Math.max(0, fits)
  const levels = parts.flatMap(({ motion, partings }) =>
    partings[chosen]!.map((level) => ({ motion, level })),
  )
  return levels.map(({ motion, level }, i) => {
    const window = {
      from: i === 0 ? 0 : usable.index[between(levels[i - 1]!.level, level)]!,
      to:
        i === levels.length - 1 ? samples.timeS.length : usable.index[between(level, levels[i + 1]!.level)]!,
    }
    const before = levels[i - 1]
    const traverse = judgeLevel({
      track,
      motion,
      level,
      before: before?.motion === motion ? before.level : null,
      limits,
      ...paceOf(found, motion, options),
      jumps: rejoined.jumps,
      rejectedLines: options.rejectedLines ?? [],
      unitBefore: unitSwitchedBefore(rejoined, motion),
    })
    return {
      ...traverse,
      steadyIndices: traverse.steadyIndices.map((index) => usable.index[index]!),
      window,
      outliers: usable.outliers.filter((index) => index >= window.from && index < window.to).length,
    }
  })
}

/** Fineness of the partings tried, the usual one first. */
const PARTINGS = [USUAL, ...OTHERS] as const

function between(one: Stretch, other: Stretch): number {
  return Math.floor((one.to + other.from) / 2)
}

function levelPointsOf(
  track: Parameters<typeof levelPoints>[0],
  motion: Stretch,
  options: FindLevelsOptions,
) {
  const stepMm = LEFT_OVER_STEPS * options.positionStepMm
  const rough = levelPoints(
    track,
    { from: motion.from, to: motion.to + 1 },
    Math.max(UNSEEN_RIPPLE_MM, stepMm),
  )
  const levels = splitLevels(rough, { leastS: LEAST_LEVEL_S, perLevel: ROUGH })
  const ripple = screwRipple(rough, levels, options.leadscrewPitchMm ?? null)
  if (ripple === null) {
    return { ...rough, weight: weights(rough.timeS, rough.positionMm, Math.max(LEFT_OVER_MM, stepMm)) }
  }
  const positionMm = rough.positionMm.map((mm, i) => mm - ripple[i]!)
  const leftMm = LEFT_OF_RIPPLE * standardDeviation(Array.from(ripple))
  return {
    ...rough,
    positionMm,
    weight: weights(rough.timeS, positionMm, Math.max(leftMm, LEFT_OVER_MM / 2, stepMm)),
  }
}

/** The levels at each fineness, as stretches of the track. */
function partingsOf(points: LevelPoints, { count }: FindLevelsOptions): Stretch[][] {
  return PARTINGS.map((perLevel) => {
    const levels = splitLevels(points, { leastS: LEAST_LEVEL_S, perLevel })
    const moving = withoutRests(points, levels)
    const kept = count === undefined ? moving : withoutPauses(points, joined(points, moving, count), count)
    return kept.map(({ from, to }) => ({ from: points.firstSample[from]!, to: points.firstSample[to]! }))
  })
}

function speedOf({ timeS, positionMm }: LevelPoints, { from, to }: Stretch): number {
  return Math.abs(straightLine(timeS, positionMm, from, to).slope)
}

function withoutRests(points: LevelPoints, levels: readonly Stretch[]): Stretch[] {
  const speeds = levels.map((level) => speedOf(points, level))
  const fastest = Math.max(...speeds)
  return levels.filter((_, i) => speeds[i]! > STANDS_SHARE * fastest)
}

/**
 * Length of two pieces together, mm, up to which they may be one level with its ripple. Derived: two turns of a usual
 * leadscrew of 5 mm.
 */
const SHORT_PIECE_MM = 10
/**
 * Share by which the speeds of two such pieces may differ. Judgement: what ripple of a worn leadscrew makes of a
 * turn.
 */
const RIPPLE_SHARE = 0.05
/**
 * Share by which the speeds of two pieces of any length differ where no hand turned the knob between them. Judgement: a
 * twentieth of the 5 % between neighbouring settings of a usual dial, and twice what ripple leaves of pieces of two turns.
 */
const ALIKE_SHARE = 0.0025
/**
 * Time between two pieces, s, below which nothing lies between them. Judgement: less than a hand needs to turn and
 * back.
 */
const NO_GAP_S = 0.5

/** Joins neighbours that ripple alone may have parted, while there are more levels than settings. */
function joined(points: LevelPoints, levels: readonly Stretch[], count: number): Stretch[] {
  let kept = [...levels]
  while (kept.length > count) {
    const apart = kept.slice(1).map((after, i) => {
      const before = kept[i]!
      const [a, b] = [speedOf(points, before), speedOf(points, after)]
      const gapS = points.timeS[after.from]! - points.timeS[before.to - 1]!
      const wayMm = Math.abs(points.positionMm[after.to - 1]! - points.positionMm[before.from]!)
      const share = Math.abs(a - b) / Math.max(a, b)
      const isOne = gapS <= NO_GAP_S && (wayMm <= SHORT_PIECE_MM || share < ALIKE_SHARE)
      return isOne ? share : Number.POSITIVE_INFINITY
    })
    const least = Math.min(...apart)
    if (!(least < RIPPLE_SHARE)) return kept
    const i = apart.indexOf(least)
    kept = [...kept.slice(0, i), { from: kept[i]!.from, to: kept[i + 1]!.to }, ...kept.slice(i + 2)]
  }
  return kept
}

/** Leaves out rests of the hand on its way, the shortest first, while there are more levels than settings. */
function withoutPauses(points: LevelPoints, levels: readonly Stretch[], count: number): Stretch[] {
  const lastS = ({ from, to }: Stretch): number => points.timeS[to - 1]! - points.timeS[from]!
  let kept = [...levels]
  while (kept.length > count) {
    const usualS = median(kept.map(lastS))
    const speeds = kept.map((level) => speedOf(points, level))
    const pauses = kept.filter((level, i) => {
      const [a, b] = [speeds[i - 1], speeds[i + 1]]
      if (a === undefined || b === undefined || lastS(level) > SHORT_SHARE * usualS) return false
      return Math.min(a, b) < speeds[i]! && speeds[i]! < Math.max(a, b)
    })
    if (pauses.length === 0) return kept
    const shortest = pauses.reduce((least, one) => (lastS(one) < lastS(least) ? one : least))
    kept = kept.filter((level) => level !== shortest)
  }
  return kept
}
