import { median } from 'simple-statistics'
import { formatBothLengths } from '../../units/index.js'
import type { UsableSamples } from '../phases/usable-samples.js'
import type { Warning } from '../traverse.js'

/** A stretch of travel in which the table stands and jumps on, over and over. */
export interface StickSlip {
  readonly fromS: number
  readonly toS: number
  /** Usual size of a jump, mm, and usual time from one to the next, s. */
  readonly stepMm: number
  readonly cycleS: number
}

/** Samples with one in place of every stand of a table that sticks and slips. */
interface WithoutSticking {
  readonly samples: UsableSamples
  readonly stretches: readonly StickSlip[]
}

/** A change of the position between two stands: the last sample before it and the first after it. */
interface Step {
  readonly before: number
  readonly after: number
  readonly mm: number
}

/**
 * Steps of the readout above which a change between two samples belongs to a jump. Derived as `REST_BAND_STEPS`: a
 * reading at the edge of a step flickers by one and may stand at the edge of the next.
 */
const JUMP_STEPS = 2.5
/**
 * The same in medians of the change between two samples. Derived: of normal errors such a change passes six times its
 * median once in 20,000.
 */
const JUMP_MEDIANS = 6
/**
 * Largest jump of a table that sticks, mm (judgement, no source: a drive that gives by more is no machine tool's). More
 * would take a readout that seldom renews its number for such a table.
 */
const LARGEST_JUMP_MM = 1
/**
 * Fewest jumps in a row. Judgement: knocks and lost lines come one or two at a time; and the guards at both ends must
 * leave five stands to tell a feed from.
 */
const FEWEST_JUMPS = 8
/** Times the usual size, and one part in so many, that a jump may have. Judgement: more is something else. */
const SIZE_RATIO = 3
/** Times the usual time between jumps that a stand may last. Judgement: longer, and the table was stopped. */
const TIME_RATIO = 3
/** Longest stand that may be one of many, s: from 4 s on it ends a traverse (`REST_S` of `findMotions`). */
const LONGEST_STAND_S = 4
/** Changes, evenly taken, for the median. Derived as in `usableSamples`. */
const MEDIAN_SAMPLES = 4096
/**
 * Share of the travel that the jumps make at least. Derived: where every other line is lost from even travel, the larger
 * changes make two thirds of it, where two of three are lost three quarters.
 */
const JUMPED_SHARE = 0.8
/**
 * Share of the lines and of the time that the jumps may take at most. Derived: lines that are lost from even travel take
 * as large a share of the time as of the travel.
 */
const JUMPING_SHARE = 0.6

/**
 * Finds where the table sticks and slips, and keeps one sample of every stand there. A table that sticks is seen like
 * one on a readout with few lines: a sample a stand lies on its mean travel, and jumps and stands are no disturbance.
 * The rest of the chain then judges it as any other travel, and its scatter is that of whole cycles.
 *
 * Of each stand the first, the middle or the last sample is kept, whichever lies on an even travel best. Where friction
 * lets go at varying pulls, the table comes to rest at the same one, and the other way round.
 */
export function withoutSticking(samples: UsableSamples, positionStepMm: number): WithoutSticking {
  const groups = stickingGroups(samples, positionStepMm)
  if (groups.length === 0) return { samples, stretches: [] }
  const n = samples.timeS.length
  const isLeftOut = new Uint8Array(n)
  for (const steps of groups) {
    const stands = standsBetween(steps)
    const kept = evenest(samples, stands)
    for (const [k, stand] of stands.entries()) {
      isLeftOut.fill(1, stand.from, stand.to + 1)
      isLeftOut[kept[k]!] = 0
    }
    for (const step of steps) isLeftOut.fill(1, step.before + 1, step.after)
  }
  const kept = Int32Array.from(range(n).filter((i) => isLeftOut[i] === 0))
  const thinned = {
    ...samples,
    timeS: Float64Array.from(kept, (i) => samples.timeS[i]!),
    positionMm: Float64Array.from(kept, (i) => samples.positionMm[i]!),
    index: Int32Array.from(kept, (i) => samples.index[i]!),
  }
  return { samples: thinned, stretches: groups.map((steps) => stretchOf(samples, steps)) }
}

function stretchOf({ timeS }: UsableSamples, steps: readonly Step[]): StickSlip {
  return {
    fromS: timeS[steps[0]!.before]!,
    toS: timeS[steps.at(-1)!.after]!,
    stepMm: median(steps.map(({ mm }) => Math.abs(mm))),
    cycleS: median(steps.slice(1).map(({ after }, k) => timeS[after]! - timeS[steps[k]!.after]!)),
  }
}

/** Jumps of like size, the same way and at like times, with little travel between them. */
function stickingGroups(samples: UsableSamples, positionStepMm: number): Step[][] {
  const all = stepsOf(samples, positionStepMm)
  const groups: Step[][] = []
  let group: Step[] = []
  for (const step of all) {
    const last = group.at(-1)
    const follows =
      last !== undefined &&
      Math.sign(last.mm) === Math.sign(step.mm) &&
      samples.timeS[step.before]! - samples.timeS[last.after]! <= LONGEST_STAND_S
    if (!follows && group.length > 0) groups.push(group)
    if (!follows) group = []
    group.push(step)
  }
  groups.push(group)
  return groups.flatMap((steps) => alike(samples, steps)).filter((steps) => sticks(samples, steps))
}

/** Changes of the position beyond flicker and scatter, neighbouring ones together. */
function stepsOf({ positionMm }: UsableSamples, positionStepMm: number): Step[] {
  const n = positionMm.length
  if (n < FEWEST_JUMPS) return []
  const changes = Float64Array.from({ length: n - 1 }, (_, i) => positionMm[i + 1]! - positionMm[i]!)
  const stride = Math.max(1, Math.floor(n / MEDIAN_SAMPLES))
  const usualMm = median(
    Array.from(
      changes.filter((_, i) => i % stride === 0),
      Math.abs,
    ),
  )
  const floorMm = Math.max(JUMP_STEPS * positionStepMm, JUMP_MEDIANS * usualMm)
  const steps: Step[] = []
  let before = -1
  for (let i = 0; i < n; i++) {
    const goesOn = i < n - 1 && Math.abs(changes[i]!) > floorMm
    if (goesOn && before < 0) before = i
    if (goesOn || before < 0) continue
    steps.push({ before, after: i, mm: positionMm[i]! - positionMm[before]! })
    before = -1
  }
  return steps
}

/** The pieces of a group in which no jump is far larger than usual and no stand far longer. */
function alike({ timeS }: UsableSamples, group: readonly Step[]): Step[][] {
  if (group.length < FEWEST_JUMPS) return []
  const usualMm = median(group.map(({ mm }) => Math.abs(mm)))
  const usualS = median(group.slice(1).map(({ before }, k) => timeS[before]! - timeS[group[k]!.after]!))
  const pieces: Step[][] = [[]]
  for (const [k, step] of group.entries()) {
    const sizeFits = Math.abs(step.mm) <= Math.min(SIZE_RATIO * usualMm, LARGEST_JUMP_MM)
    const standS = k === 0 ? 0 : timeS[step.before]! - timeS[group[k - 1]!.after]!
    if (!sizeFits || standS > TIME_RATIO * usualS) pieces.push([])
    if (sizeFits && Math.abs(step.mm) >= usualMm / SIZE_RATIO) pieces.at(-1)!.push(step)
  }
  return pieces
}

function sticks({ timeS, positionMm }: UsableSamples, steps: readonly Step[]): boolean {
  if (steps.length < FEWEST_JUMPS) return false
  const [first, last] = [steps[0]!.before, steps.at(-1)!.after]
  const sum = (value: (step: Step) => number): number => steps.reduce((total, step) => total + value(step), 0)
  return (
    sum(({ mm }) => mm) / (positionMm[last]! - positionMm[first]!) >= JUMPED_SHARE &&
    sum(({ before, after }) => after - before) <= JUMPING_SHARE * (last - first) &&
    sum(({ before, after }) => timeS[after]! - timeS[before]!) <=
      JUMPING_SHARE * (timeS[last]! - timeS[first]!)
  )
}

/** First and last sample of a stand. */
interface Stand {
  readonly from: number
  readonly to: number
}

function standsBetween(steps: readonly Step[]): Stand[] {
  return steps.slice(1).map(({ before }, k) => ({ from: steps[k]!.after, to: before }))
}

/** The sample of each stand to keep. */
function evenest(samples: UsableSamples, stands: readonly Stand[]): number[] {
  const choices = [
    stands.map(({ from, to }) => Math.floor((from + to) / 2)),
    stands.map(({ from }) => from),
    stands.map(({ to }) => to),
  ]
  const [best] = choices
    .map((kept) => ({ kept, offMm: unevenness(samples, kept) }))
    .sort((a, b) => a.offMm - b.offMm)
  return best!.kept
}

/** Median distance of a sample from the straight line between its neighbours, mm. */
function unevenness({ timeS, positionMm }: UsableSamples, at: readonly number[]): number {
  return median(
    at.slice(1, -1).map((i, k) => {
      const [a, b] = [at[k]!, at[k + 2]!]
      const share = (timeS[i]! - timeS[a]!) / (timeS[b]! - timeS[a]!)
      return Math.abs(positionMm[i]! - positionMm[a]! - share * (positionMm[b]! - positionMm[a]!))
    }),
  )
}

function range(n: number): number[] {
  return Array.from({ length: n }, (_, i) => i)
}

/** What is told of a run on a table that sticks and slips. */
export function stickSlipWarning({ stepMm, cycleS }: StickSlip): Warning {
  return {
    code: 'sticks-and-slips',
    message: `The table sticks and slips: it stood for about ${cycleS.toFixed(1)} s and jumped on by about ${formatBothLengths(stepMm)}, over and over. The feed is its mean over whole jumps, and no coast can be told. Clean and oil the ways and check the gibs as the machine's manual says. If the table moves smoothly, the readout renews its number too seldom.`,
  }
}
