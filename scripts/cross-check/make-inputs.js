// Writes fixtures/cross-check/inputs.json: what scripts/cross-check/cross-check.py is to compute independently.
// Seeded; the points of the noise grid and the marks' slopes are the program's own. Run it where the grid changed:
// node scripts/cross-check/make-inputs.js && /usr/bin/python3 scripts/cross-check/cross-check.py
import { mkdir, writeFile } from 'node:fs/promises'
import { bundled } from '../bundled.js'

const { groupByMark, noisePosterior, seededNormal, seededRandom, sortRuns } = await bundled(`
  export { groupByMark, sortRuns } from './src/regression/scatter/mark-group.js'
  export { noisePosterior } from './src/regression/scatter/noise-model.js'
  export { seededNormal } from './src/numbers/seeded-normal.js'
  export { seededRandom } from './src/simulation/index.js'`)

const folder = new URL('../../fixtures/cross-check/', import.meta.url)
await mkdir(folder, { recursive: true })
const inputs = {
  runs: [
    steadyRun('10 Hz, 0.005 mm, 2 % ripple', {
      seed: 3,
      n: 120,
      hz: 10,
      feed: 95,
      stepMm: 0.005,
      ripple: 0.02,
    }),
    steadyRun('5 Hz, 0.01 mm, 3 % ripple', { seed: 4, n: 110, hz: 5, feed: 60, stepMm: 0.01, ripple: 0.03 }),
    steadyRun('20 Hz, 0.001 mm, 1 % ripple, minus', {
      seed: 5,
      n: 160,
      hz: 20,
      feed: -300,
      stepMm: 0.001,
      ripple: 0.01,
    }),
  ],
  linearFits: [linearFit('line and harmonic', 21, 60), linearFit('short', 22, 12)],
  monotoneCurves: monotoneCurves(),
  rising: [
    { id: 'one fall', y: [1, 3, 2, 4, 4.5] },
    { id: 'falls all over', y: [5, 1, 4, 3, 6, 2, 8, 7.5, 7.4, 9] },
  ],
  quantiles: {
    probabilities: [0.005, 0.025, 0.05, 0.2, 0.8, 0.95, 0.975, 0.995],
    degrees: [1, 2, 3.7, 10, 57.3, 400, 2500],
    places: [-3.2, -1.1, -0.2, 0.4, 1.7, 2.9],
  },
  noise: noiseCases(),
  markMeans: markMeans(),
  mixtures: [
    { id: 'two parts', probability: 0.95, parts: parts([0.01, 0.03], [0.7, 0.3]) },
    { id: 'a rare wide part', probability: 0.95, parts: parts([0.004, 0.01, 0.2], [0.55, 0.42, 0.03]) },
    { id: 'ninety percent', probability: 0.9, parts: parts([1, 2, 5], [0.2, 0.5, 0.3]) },
  ],
  curveMeans: curveMeans(),
  stopwatch: [
    {
      id: 'thirty seconds',
      distanceMm: 152.4,
      durationS: 31.4,
      pressSpreadS: 0.07,
      distanceUncertaintyMm: 0.05,
    },
    { id: 'short', distanceMm: 50, durationS: 8.2, pressSpreadS: 0.12, distanceUncertaintyMm: 0.02 },
  ],
}
await writeFile(new URL('inputs.json', folder), `${JSON.stringify(inputs, null, 1)}\n`)

function steadyRun(id, { seed, n, hz, feed, stepMm, ripple }) {
  const leadscrewPitchMm = 5
  const random = seededRandom(seed)
  const startMm = 20 * random.uniform()
  const timeS = []
  const positionMm = []
  for (let i = 0; i < n; i++) {
    const turned = startMm + (feed / 60) * (i / hz)
    const swing =
      ((ripple * leadscrewPitchMm) / (2 * Math.PI)) * Math.sin((2 * Math.PI * turned) / leadscrewPitchMm)
    timeS.push(rounded(100 + i / hz + Math.abs(random.normal(0, 0.004))))
    positionMm.push(rounded(Math.round((turned + swing) / stepMm) * stepMm))
  }
  return { id, leadscrewPitchMm, timeS, positionMm }
}

function linearFit(id, seed, n) {
  const normal = seededNormal(seed)
  let stray = 0
  const design = Array.from({ length: n }, (_, i) =>
    [1, i / 10, Math.sin(i / 3), Math.cos(i / 3)].map(rounded),
  )
  const y = design.map(([a, b, c, d]) => {
    stray = 0.6 * stray + 0.02 * normal()
    return rounded(2 * a + 3 * b + 0.1 * c - 0.2 * d + stray)
  })
  return { id, design, y, lags: [0, 2, 4] }
}

function monotoneCurves() {
  const knots = [
    ['a dead band, then steep', [1, 2, 4, 5, 7, 10], [0, 0, 35.2, 80, 190.5, 420]],
    ['a flat top', [1, 3, 4, 6.5, 10], [40, 130, 205, 300, 304]],
    ['two marks', [2, 8], [30, 400]],
    ['a fall', [0, 1, 2.5, 3, 4], [1, 4, 3.5, 6, 6.1]],
  ]
  return knots.map(([id, x, y]) => ({
    id,
    x,
    y,
    at: Array.from({ length: 41 }, (_, i) => x[0] + ((x.at(-1) - x[0]) * i) / 40),
  }))
}

function marksOf(seed, count, runs, perSetting) {
  const normal = seededNormal(seed)
  const evidence = []
  for (let m = 0; m < count; m++) {
    const dial = 1 + (9 * m) / (count - 1)
    let set = dial
    for (let k = 0; k < runs; k++) {
      if (k % perSetting === 0) set = dial + 0.05 * normal()
      const feedMmPerMin = rounded((12 + 38 * set + 2.5 * set ** 2) * Math.exp(0.008 * normal()))
      evidence.push({
        runId: `${m}/${k}`,
        dial,
        direction: 1,
        feedMmPerMin,
        standardUncertaintyMmPerMin: rounded((k % 2 === 0 ? 0.0001 : 0.004) * feedMmPerMin),
        source: 'readout',
        setting: `${m}/${Math.floor(k / perSetting)}`,
      })
    }
  }
  return { evidence, groups: groupByMark(sortRuns(evidence), 700) }
}

/** The likelihood is asked for at points of the program's own grid that no case makes improbable. */
function noiseCases() {
  const cases = [
    { id: '8 marks of 2 runs', ...marksOf(31, 8, 2, 1) },
    { id: '5 marks of 4 runs, two a setting', ...marksOf(32, 5, 4, 2) },
    { id: '10 marks of 8 runs', ...marksOf(33, 10, 8, 1) },
  ]
  const posteriors = cases.map(({ groups }) => noisePosterior(groups, { dialRepeats: false }).points)
  const isSame = (a) => (b) => a.runRelative === b.runRelative && a.dialReset === b.dialReset
  const common = posteriors[0].filter((point) => posteriors.every((points) => points.some(isSame(point))))
  const points = common.map(({ runRelative, dialReset }) => ({ runRelative, dialReset }))
  return cases.map(({ id, evidence, groups }) => ({ id, evidence, marks: groups, points }))
}

function markMeans() {
  const { groups } = marksOf(41, 4, 5, 2)
  return groups.map((mark, i) => ({
    id: `mark ${i + 1}`,
    mark,
    runRelative: 0.006,
    dialReset: 0.02 * (i + 1),
  }))
}

function curveMeans() {
  const places = [0, 0.18, 0.4, 0.55, 0.8, 1]
  const values = [0.08, 0.22, 0.5, 0.71, 0.9, 1]
  const deviations = [0.004, 0.006, 0.01, 0.008, 0.012, 0.01]
  const at = Array.from({ length: 21 }, (_, i) => i / 20)
  return [
    { id: 'smooth', places, values, deviations, at, amplitude: 0.088, length: 0.7, kink: null },
    {
      id: 'corner',
      places,
      values,
      deviations,
      at,
      amplitude: 0.013,
      length: 0.35,
      kink: { place: 0.47 },
    },
    {
      id: 'corner and straying',
      places,
      values,
      deviations,
      at,
      amplitude: 0.23,
      length: 1.4,
      kink: { place: 0.6 },
    },
  ]
}

function parts(standardDeviations, weights) {
  return standardDeviations.map((standardDeviation, i) => ({ standardDeviation, weight: weights[i] }))
}

/** Nine digits: the file says exactly what was computed from. */
function rounded(value) {
  return Number(value.toPrecision(9))
}
