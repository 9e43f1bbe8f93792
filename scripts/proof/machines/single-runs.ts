import { TablepaceError } from '../../../src/errors/index.js'
import type { IngestedSamples } from '../../../src/ingest/index.js'
import { judgeReadoutTakes } from '../../../src/jobs/record/judge-takes.js'
import { judgeRecording, stopwatchFeed } from '../../../src/regression/index.js'
import {
  type DriveEvent,
  type ReadoutFaults,
  type SeededRandom,
  type SimulatedMill,
  type SimulatedRun,
  seededRandom,
  simulateRun,
  stopwatchReading,
} from '../../../src/simulation/index.js'
import { observe } from '../full-chain.js'
import { noiseBoundMmPerMin } from '../noise-bound.js'
import { addRatio, addValue, type Findings } from '../tally.js'
import { drawnMill, logUniform, pick } from './drawn-mill.js'
import type { ReadoutKind } from './readout-kinds.js'

/** Slower than this no run is simulated, mm/min: the table creeps and has no steady feed. */
const LEAST_FEED_MM_PER_MIN = 15
const RUNS_OF_A_SESSION = 4

/** What may be wrong with the lines while the traverse itself is sound. */
const FAULTS: readonly (readonly [name: string, faults: ReadoutFaults])[] = [
  ['none', {}],
  ['none', {}],
  ['none', {}],
  ['one line in twenty lost', { droppedLineShare: 0.05 }],
  ['one line in fifty with a wrong byte', { garbageByteShare: 0.02 }],
  ['one reading in fifty off by 5 mm', { outlierShare: 0.02, outlierMm: 5 }],
  ['listening starts midway through a line', { startsMidLine: true }],
]

/** A session of sound runs on one mill with one readout, judged together as the program does. */
export function soundSession(findings: Findings, family: string, kind: ReadoutKind, seed: number): void {
  const random = seededRandom(seed)
  const mill = drawnMill(family, seed + 1)
  const [faultName, faults] = pick(random, FAULTS)
  const pitchKnown = random.uniform() < 0.5
  const runs = Array.from({ length: RUNS_OF_A_SESSION }, (_, k) =>
    drawnRun(mill, random, k, seed + 10 * (k + 1)),
  )
  const levels = {
    family,
    readout: kind.name,
    faults: faultName,
    ripple: `${100 * mill.rippleFraction} %${mill.rippleFraction === 0 ? '' : pitchKnown ? ', pitch known' : ', pitch not told'}`,
  }
  const judged = judgeSession(
    () => runs.map((run, k) => observe(run.motion, kind, faults, seed + 10 * k + 11)),
    {
      leadscrewPitchMm: pitchKnown ? mill.leadscrewPitchMm : null,
    },
  )
  let [covered, accepted, refused, squares, bounded] = [0, 0, 0, 0, 0]
  for (const [k, run] of runs.entries()) {
    const found = judged?.[k] ?? []
    const feed = found[0]?.feed ?? null
    if (found.length !== 1 || feed === null) {
      refused += 1
      continue
    }
    accepted += 1
    const error = feed.feedMmPerMin - run.truth.runFeedMmPerMin
    covered += Number(Math.abs(error) <= (feed.interval95MmPerMin[1] - feed.interval95MmPerMin[0]) / 2)
    addValue(findings, 'run-error', levels, (100 * Math.abs(error)) / run.truth.runFeedMmPerMin)
    // A readout with a clock of its own goes below the bound of the host's; lost lines are not in it.
    const bound =
      kind.readout.deviceTime === null && faultName === 'none' ? noiseBoundMmPerMin(run, mill, kind) : null
    if (bound !== null) {
      bounded += 1
      squares += (error / bound) ** 2
    }
  }
  addRatio(findings, 'run-coverage', levels, covered, accepted)
  addRatio(findings, 'run-noise', levels, squares, bounded)
  addRatio(findings, 'false-events', levels, refused, runs.length)
}

/** Null where the program cannot read one of the recordings: then it has refused them all. */
function judgeSession(
  read: () => IngestedSamples[],
  axis: { readonly leadscrewPitchMm: number | null },
): ReturnType<typeof judgeReadoutTakes> | null {
  try {
    return judgeReadoutTakes(read(), axis)
  } catch (error) {
    if (error instanceof TablepaceError) return null
    throw error
  }
}

/** A run in which the table stalls or slips: found where no accepted feed rests on the time of it. */
export function disturbedRun(findings: Findings, family: string, kind: ReadoutKind, seed: number): void {
  const random = seededRandom(seed)
  const mill = drawnMill(family, seed + 1)
  const { name, event, decides } = drawnEvent(random)
  const run = drawnRun(mill, random, 0, seed + 10, event)
  const { event: happened } = run.truth
  if (happened === null) return
  const judged = judgeRecording(observe(run.motion, kind, {}, seed + 11))
  const levels = decides ? { event: name, readout: kind.name } : { event: name }
  const rejected = judged.length > 0 && judged.every((one) => one.traverse.rejection !== null)
  const touched = judged.some(
    ({ traverse: { rejection, phases } }) =>
      rejection === null &&
      phases !== null &&
      phases.steadyFromS < happened.toS &&
      phases.steadyToS > happened.fromS,
  )
  addRatio(findings, 'events-found', levels, Number(rejected), 1, decides)
  addRatio(findings, 'events-kept-out', levels, Number(!touched), 1, decides)
  for (const { feed } of judged) {
    if (feed === null) continue
    const off = (100 * Math.abs(feed.feedMmPerMin - run.truth.runFeedMmPerMin)) / run.truth.runFeedMmPerMin
    addValue(findings, 'missed-event-error', { event: name }, off)
  }
}

/** Runs timed by hand over marked distances of 20 to 60 s. */
export function stopwatchRuns(findings: Findings, family: string, seed: number): void {
  const random = seededRandom(seed)
  const mill = drawnMill(family, seed + 1)
  let covered = 0
  for (let k = 0; k < RUNS_OF_A_SESSION; k++) {
    const run = drawnRun(mill, random, k, seed + 10 * (k + 1))
    const { runFeedMmPerMin, phases } = run.truth
    const steadyS = phases === null ? 0 : phases.driveOffS - phases.steadyFromS
    const reading = stopwatchReading(run, (0.9 * steadyS * runFeedMmPerMin) / 60, seed + 10 * k + 2)
    const { interval95MmPerMin } = stopwatchFeed({ distanceMm: reading.distanceMm, durationS: reading.timeS })
    covered += Number(runFeedMmPerMin >= interval95MmPerMin[0] && runFeedMmPerMin <= interval95MmPerMin[1])
  }
  addRatio(findings, 'stopwatch-coverage', {}, covered, RUNS_OF_A_SESSION)
}

/** One run of 20 to 40 s of driving, shorter where the travel ends before. */
function drawnRun(
  mill: SimulatedMill,
  random: SeededRandom,
  k: number,
  seed: number,
  event: DriveEvent | null = null,
): SimulatedRun {
  let dial = 0
  do dial = mill.dialMin + (mill.dialMax - mill.dialMin) * random.uniform()
  while (mill.curve(dial) < 1.2 * LEAST_FEED_MM_PER_MIN)
  const request = {
    dial,
    direction: k % 2 === 0 ? (1 as const) : (-1 as const),
    drivenMm: 0.85 * mill.travelMm,
    longestS: 20 + 20 * random.uniform(),
    ...(event === null ? {} : { event }),
  }
  return simulateRun(mill, request, seed)
}

/** A quarter are milder than what decides: told only, to show where finding ends. */
function drawnEvent(random: SeededRandom): {
  readonly name: string
  readonly event: DriveEvent
  readonly decides: boolean
} {
  const atFraction = 0.15 + 0.7 * random.uniform()
  const decides = random.uniform() < 0.75
  if (random.uniform() < 0.5) {
    const durationS = decides ? logUniform(random, 0.5, 3) : logUniform(random, 0.2, 0.5)
    const name = !decides ? 'stall, 0.2–0.5 s' : durationS < 1 ? 'stall, 0.5–1 s' : 'stall, 1–3 s'
    return { name, event: { kind: 'stall', atFraction, durationS }, decides }
  }
  const durationS = logUniform(random, 1, 3)
  const speedFactor = decides ? 0.2 + 0.55 * random.uniform() : 0.75 + 0.15 * random.uniform()
  const reach = !decides ? '75–90' : speedFactor < 0.5 ? '20–50' : '50–75'
  return {
    name: `slip to ${reach} %, 1–3 s`,
    event: { kind: 'slip', atFraction, durationS, speedFactor },
    decides,
  }
}
