import { observe } from '../../../scripts/proof/full-chain.js'
import { drawnMill } from '../../../scripts/proof/machines/drawn-mill.js'
import { READOUT_KINDS } from '../../../scripts/proof/machines/readout-kinds.js'
import { type Advice, advise, halfWidthAt, type Instrument } from '../../../src/planning/advice/index.js'
import { judgeRecording, type RunEvidence, stopwatchFeed } from '../../../src/regression/index.js'
import { seededRandom, simulateRun, stopwatchReading } from '../../../src/simulation/index.js'

/** What was promised for a simulated machine, and what the runs that were advised then gave. */
interface Promise {
  readonly advice: Advice
  readonly reachedPercent: number
}

const FAMILIES = ['saturating', 's-shaped', 'straight-with-a-kink', 'loaded wiper'] as const
const MARKS = [2, 4, 6, 8, 10]
const FIT = { stepped: false, dialClicks: false }
const PRESS_SPREAD_S = 0.07
/** Fast ones take long to simulate and scatter no differently. */
const SLOW_READOUTS = READOUT_KINDS.filter(({ readout }) => readout.refreshHz <= 10)

/**
 * A drawn mill that was calibrated quickly (five marks, both directions, twice), asked about one setting, measured as
 * advised and fitted: readout runs go through bytes, lines and the judgement.
 */
export function simulatedPromise(seed: number, by: Instrument['kind'], within: number): Promise | null {
  const random = seededRandom(seed)
  const mill = drawnMill(FAMILIES[seed % FAMILIES.length]!, seed)
  const kind = SLOW_READOUTS[seed % SLOW_READOUTS.length]!
  const instrument: Instrument =
    by === 'stopwatch'
      ? { kind: by }
      : { kind: by, rateHz: kind.readout.refreshHz, stepMm: kind.readout.stepMm }
  const evidence: RunEvidence[] = []
  const measure = (dial: number, direction: 1 | -1, timeS: number): boolean => {
    const runSeed = Math.floor(random.uniform() * 2 ** 30)
    const drivenMm = Math.min(
      0.9 * mill.travelMm,
      (mill.curve(dial) * (timeS + (by === 'stopwatch' ? 6 : 0))) / 60,
    )
    const run = simulateRun(mill, { dial, direction, drivenMm }, runSeed)
    const common = { runId: `${evidence.length}`, dial, direction }
    if (by === 'stopwatch') {
      const reading = stopwatchReading(run, (0.9 * mill.curve(dial) * timeS) / 60, runSeed + 1)
      const feed = stopwatchFeed({
        distanceMm: reading.distanceMm,
        durationS: reading.timeS,
        pressSpreadS: PRESS_SPREAD_S,
      })
      evidence.push({ ...common, ...feed, source: 'stopwatch' })
      return true
    }
    const [judged] = judgeRecording(observe(run.motion, kind, {}, runSeed + 1), {
      leadscrewPitchMm: mill.leadscrewPitchMm,
    })
    if (judged?.feed == null) return false
    evidence.push({ ...common, ...judged.feed, source: 'readout' })
    return true
  }
  for (const _pass of [1, 2]) {
    for (const dial of MARKS) for (const direction of [1, -1] as const) measure(dial, direction, 15)
  }
  const dial = MARKS[1 + (seed % 4)]!
  const advice = advise({
    feedMmPerMin: mill.curve(dial),
    within,
    instrument,
    direction: 1,
    dial,
    axis: { travelMm: mill.travelMm, dialMin: 0, dialMax: 10, ...FIT },
    handyMm: 1,
    earlier: evidence,
    tableHalfWidth: null,
  })
  for (let made = 0; made < advice.runs; ) if (measure(dial, 1, advice.timeS)) made += 1
  const reached = halfWidthAt(evidence, dial, 1, FIT)
  return reached === null ? null : { advice, reachedPercent: 100 * reached }
}
