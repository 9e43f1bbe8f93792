import { linearRegression } from 'simple-statistics'
import { interleavedMs, ms } from './measure.js'

const SIZES = [1e4, 1e5, 1e6]
const SAMPLE_HZ = 1000
const STEP_MM = 0.005

/** The slope of one run against a plain straight line through the same samples, and how it grows with them. */
export function benchSteadyFeed(pieces) {
  const { largest, bySize } = sampledRuns(pieces)
  const jobs = Object.fromEntries(
    bySize.map(({ size, timeS, positionMm }) => [size, () => pieces.steadyFeed(timeS, positionMm)]),
  )
  const pairs = Array.from(largest.timeS, (timeS, index) => [timeS, largest.positionMm[index]])
  const medians = interleavedMs({ ...jobs, line: () => linearRegression(pairs) }, 7)
  const size = SIZES.at(-1)
  const rows = [
    {
      what: 'steadyFeed of a million samples',
      yardstick: 'linearRegression of simple-statistics',
      measured: ms(medians[size]),
      reference: ms(medians.line),
      ratio: medians[size] / medians.line,
      limit: 6,
    },
  ]
  for (const [index, larger] of SIZES.entries()) {
    const smaller = SIZES[index - 1]
    if (smaller === undefined) continue
    rows.push({
      what: `steadyFeed of ${larger} samples, each`,
      yardstick: `of ${smaller} samples, each`,
      measured: `${((1e6 * medians[larger]) / larger).toFixed(0)} ns`,
      reference: `${((1e6 * medians[smaller]) / smaller).toFixed(0)} ns`,
      ratio: medians[larger] / larger / (medians[smaller] / smaller),
      limit: 1.5,
    })
  }
  return rows
}

/** A long steady run with leadscrew ripple, read in whole steps. */
function sampledRuns({ QUILLFEN_MILL, simulateRun }) {
  const size = SIZES.at(-1)
  const durationS = size / SAMPLE_HZ
  const mill = { ...QUILLFEN_MILL, travelMm: 1e5 }
  const { motion, truth } = simulateRun(
    mill,
    { dial: 3, direction: 1, drivenMm: 1e5, longestS: durationS + 10 },
    1,
  )
  const fromS = truth.phases.steadyFromS + 1
  const timeS = new Float64Array(size)
  const positionMm = new Float64Array(size)
  for (let index = 0; index < size; index += 1) {
    timeS[index] = fromS + index / SAMPLE_HZ
    positionMm[index] = Math.round(motion.positionMmAt(timeS[index]) / STEP_MM) * STEP_MM
  }
  const bySize = SIZES.map((each) => ({
    size: each,
    timeS: timeS.subarray(0, each),
    positionMm: positionMm.subarray(0, each),
  }))
  return { largest: { timeS, positionMm }, bySize }
}
