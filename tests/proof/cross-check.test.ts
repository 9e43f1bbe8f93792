import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import {
  chiSquareQuantile,
  evaluateCubic,
  isotonic,
  lineCovariance,
  type MixturePart,
  maternMatrix,
  mixtureHalfWidth,
  normalCdf,
  normalLogDensity,
  normalQuantile,
  pchip,
  solveLowerInPlace,
  studentTCdf,
  studentTQuantile,
} from '../../src/numbers/index.js'
import { directionsAtMarks } from '../../src/regression/curve/curve-forms.js'
import { factorOfMarks } from '../../src/regression/curve/curve-hypotheses.js'
import { kinkSlope, rampPast } from '../../src/regression/curve/curve-kinks.js'
import { feedScales } from '../../src/regression/curve/feed-scale.js'
import { type RunEvidence, steadyFeed, stopwatchFeed } from '../../src/regression/index.js'
import { fitMark } from '../../src/regression/scatter/mark-fit.js'
import { groupByMark, type MarkGroup, sortRuns } from '../../src/regression/scatter/mark-group.js'
import { type NoisePoint, noisePosterior, summarizeNoise } from '../../src/regression/scatter/noise-model.js'
import { fitRows, longRunErrors } from '../../src/selfcheck/fitted.js'

// Values by NumPy and SciPy: fixtures/cross-check/README.md says which versions and how to make them again.

type Kink = Parameters<typeof rampPast>[1]
type Scatters = Omit<NoisePoint, 'weight'>

interface Inputs {
  runs: { leadscrewPitchMm: number; timeS: number[]; positionMm: number[] }[]
  linearFits: { design: number[][]; y: number[] }[]
  monotoneCurves: { x: number[]; y: number[]; at: number[] }[]
  rising: { y: number[] }[]
  noise: { evidence: RunEvidence[] }[]
  markMeans: ({ mark: MarkGroup } & Scatters)[]
  mixtures: { probability: number; parts: MixturePart[] }[]
  curveMeans: {
    places: number[]
    values: number[]
    deviations: number[]
    at: number[]
    amplitude: number
    length: number
    kink: Kink | null
  }[]
  stopwatch: Parameters<typeof stopwatchFeed>[0][]
}

interface Results {
  runSlopes: {
    id: string
    feedMmPerMin: number
    plainErrorMmPerMin: number
    neweyWestErrorMmPerMin: number
    rippleAmplitudeMm: number
    degreesOfFreedom: number
  }[]
  linearFits: {
    id: string
    coefficients: number[]
    standardDeviations: number[]
    neweyWest: { lag: number; standardErrors: number[] }[]
  }[]
  monotoneCurves: { id: string; slopes: number[]; values: number[] }[]
  rising: { id: string; values: number[] }[]
  quantiles: {
    normal: { p: number; x: number }[]
    studentT: { p: number; df: number; x: number }[]
    chiSquare: { p: number; df: number; x: number }[]
    normalCdf: { x: number; p: number }[]
    studentTCdf: { x: number; df: number; p: number }[]
  }
  noise: {
    id: string
    logLikelihoods: (Scatters & { value: number })[]
    estimate: Scatters & { logLikelihood: number }
  }[]
  markMeans: {
    id: string
    feedMmPerMin: number
    interval95: [number, number]
    nextSetting95: [number, number]
  }[]
  mixtures: { id: string; halfWidth: number }[]
  curveMeans: {
    id: string
    covariance: number[][]
    logDensity: number
    mean: number[]
    standardDeviation: number[]
  }[]
  stopwatch: {
    id: string
    feedMmPerMin: number
    standardUncertaintyMmPerMin: number
    interval95MmPerMin: [number, number]
  }[]
}

const read = (name: string): unknown =>
  JSON.parse(readFileSync(new URL(`../../fixtures/cross-check/${name}`, import.meta.url), 'utf8'))
const inputs = read('inputs.json') as Inputs
const results = read('results.json') as Results

/** Every value agrees to `relative`, or to `absolute` where it is near zero. */
function expectClose(
  got: readonly number[],
  wanted: readonly number[],
  relative: number,
  absolute = 0,
): void {
  expect(got.length).toBe(wanted.length)
  for (const [i, value] of wanted.entries()) {
    expect(Math.abs(got[i]! - value), `value ${i}: ${got[i]} for ${value}`).toBeLessThanOrEqual(
      Math.max(absolute, relative * Math.abs(value)),
    )
  }
}

const cases = <T extends { id: string }>(all: readonly T[]) =>
  all.map((result, i) => [result.id, result, i] as const)

describe('one run', () => {
  test.each(cases(results.runSlopes))('slope and errors beside a leadscrew ripple: %s', (_, result, i) => {
    const { timeS, positionMm, leadscrewPitchMm } = inputs.runs[i]!
    const feed = steadyFeed(timeS, positionMm, { leadscrewPitchMm })
    const error = Math.max(result.plainErrorMmPerMin, result.neweyWestErrorMmPerMin)
    // The program takes the turn from the rounded positions, the model from the line: a fiftieth of the error.
    expect(Math.abs(feed.feedMmPerMin - result.feedMmPerMin)).toBeLessThan(0.02 * error)
    expect(feed.standardUncertaintyMmPerMin / error).toBeCloseTo(1, 2)
    expect(feed.degreesOfFreedom).toBe(result.degreesOfFreedom)
    expect(feed.ripple!.amplitudeMm / result.rippleAmplitudeMm).toBeCloseTo(1, 2)
  })

  test.each(cases(results.linearFits))('least squares and Newey–West to 9 digits: %s', (_, result, i) => {
    const { design, y } = inputs.linearFits[i]!
    const fit = fitRows(design, y)
    expectClose(fit.coefficients, result.coefficients, 1e-9)
    expectClose(fit.standardDeviations, result.standardDeviations, 1e-9)
    for (const { lag, standardErrors: wanted } of result.neweyWest) {
      expectClose(longRunErrors(fit, lag, design.length / fit.degreesOfFreedom), wanted, 1e-9)
    }
  })

  test.each(cases(results.stopwatch))('stopwatch uncertainty as by Monte Carlo: %s', (_, result, i) => {
    const feed = stopwatchFeed(inputs.stopwatch[i]!)
    expect(feed.feedMmPerMin).toBeCloseTo(result.feedMmPerMin, 9)
    // 2,000,000 draws tell a standard deviation to 0.05 %; the rest is the curvature that propagation leaves out,
    // (u/T)² of some 4e-4 for the short one, times a factor of a few.
    expectClose([feed.standardUncertaintyMmPerMin], [result.standardUncertaintyMmPerMin], 0.003)
    const width = ([low, high]: readonly [number, number]) => high - low
    // The watch's rectangle has shorter tails than the normal that the interval takes.
    expectClose([width(feed.interval95MmPerMin)], [width(result.interval95MmPerMin)], 0.01)
  })
})

describe('distributions', () => {
  const { normal, studentT, chiSquare, normalCdf: normals, studentTCdf: students } = results.quantiles

  test('quantiles of normal, Student t and chi-square to 7 digits', () => {
    expectClose(
      normal.map(({ p }) => normalQuantile(p)),
      normal.map(({ x }) => x),
      1e-7,
    )
    expectClose(
      studentT.map(({ p, df }) => studentTQuantile(p, df)),
      studentT.map(({ x }) => x),
      1e-7,
    )
    expectClose(
      chiSquare.map(({ p, df }) => chiSquareQuantile(p, df)),
      chiSquare.map(({ x }) => x),
      1e-7,
    )
  })

  test('probabilities of normal and Student t to 7 decimals', () => {
    expectClose(
      normals.map(({ x }) => normalCdf(x)),
      normals.map(({ p }) => p),
      0,
      1e-7,
    )
    expectClose(
      students.map(({ x, df }) => studentTCdf(x, df)),
      students.map(({ p }) => p),
      0,
      1e-7,
    )
  })

  test.each(cases(results.mixtures))('half width of a normal mixture to 8 digits: %s', (_, result, i) => {
    const { parts, probability } = inputs.mixtures[i]!
    expectClose([mixtureHalfWidth(parts, probability)], [result.halfWidth], 1e-8)
  })
})

describe('marks', () => {
  const posteriors = inputs.noise.map(
    ({ evidence }) => noisePosterior(groupByMark(sortRuns(evidence), 700), { dialRepeats: false })!,
  )

  // The prior is the same for all, so it drops out of the difference of two log posteriors.
  test.each([
    [0, 1],
    [0, 2],
  ])('restricted likelihoods of two sets of runs differ as dense normal densities do: %i and %i', (a, b) => {
    const differences = results.noise[a]!.logLikelihoods.flatMap((point, k) => {
      const logWeights = [a, b].map((which) => {
        const here = posteriors[which]!.points.find(
          (one) =>
            Math.abs(one.runRelative / point.runRelative - 1) < 1e-9 &&
            Math.abs(one.dialReset - point.dialReset) < 1e-9,
        )
        return Math.log(here?.weight ?? Number.NaN)
      })
      const wanted = point.value - results.noise[b]!.logLikelihoods[k]!.value
      const got = logWeights[0]! - logWeights[1]!
      return Number.isNaN(got) ? [] : [got - wanted]
    })
    // Fewer mean that the grid has changed: make the fixtures again.
    expect(differences.length).toBeGreaterThan(20)
    expect(Math.max(...differences) - Math.min(...differences)).toBeLessThan(1e-8)
  })

  test('with seventy repeats the posterior means lie at the restricted-likelihood estimate', () => {
    const { estimate } = results.noise[2]!
    const noise = summarizeNoise(posteriors[2]!)
    expect(noise.degreesOfFreedom).toBe(70)
    // A step of the grid is a third of a factor, and more of the one scatter with less of the other explains runs as well.
    expect(Math.abs(Math.log(noise.runRelative / estimate.runRelative))).toBeLessThan(1 / 3)
    expect(Math.abs(Math.log(noise.dialReset / estimate.dialReset))).toBeLessThan(1 / 3)
  })

  test.each(cases(results.markMeans))(
    'mean and intervals by generalised least squares: %s',
    (_, result, i) => {
      const { mark, runRelative, dialReset } = inputs.markMeans[i]!
      const fit = fitMark(mark, { points: [{ runRelative, dialReset, weight: 1 }], degreesOfFreedom: 4 })
      expectClose([fit.feedMmPerMin], [result.feedMmPerMin], 1e-10)
      expectClose(fit.interval95!, result.interval95, 1e-8)
      expectClose(fit.nextSetting95!, result.nextSetting95, 1e-8)
    },
  )
})

describe('curves', () => {
  test.each(cases(results.monotoneCurves))('PCHIP slopes and values to 12 digits: %s', (_, result, i) => {
    const { x, y, at } = inputs.monotoneCurves[i]!
    const cubic = pchip(x, y)
    expectClose(cubic.slope, result.slopes, 1e-12, 1e-11)
    expectClose(
      at.map((place) => evaluateCubic(cubic, place)),
      result.values,
      1e-12,
      1e-11,
    )
  })

  test.each(cases(results.rising))('isotonic regression: %s', (_, result, i) => {
    expectClose(isotonic(inputs.rising[i]!.y), result.values, 1e-9, 1e-9)
  })

  test.each(cases(results.curveMeans))('Gaussian process by dense solves: %s', (_, result, i) => {
    const { places, values, deviations, at, amplitude, length, kink } = inputs.curveMeans[i]!
    const n = places.length
    const scale = feedScales(values).find(({ name }) => name === 'identity')!
    const marks = { places, shares: values, deviations: [deviations] }
    const factor = new Float64Array(n * n)
    const amongMarks = maternMatrix(places, places, length)
    const directions = directionsAtMarks(places, { kinks: kink ? [kink] : [], stretch: [] })
    factorOfMarks(marks, { scale, amplitude, length, noiseIndex: 0 }, directions, amongMarks, factor)
    const covariance = places.map((_, row) =>
      places.map((_, column) => {
        let sum = 0
        for (let k = 0; k <= Math.min(row, column); k++) sum += factor[row * n + k]! * factor[column * n + k]!
        return sum
      }),
    )
    for (const [row, wanted] of result.covariance.entries()) expectClose(covariance[row]!, wanted, 1e-10)

    const whitened = Float64Array.from(values)
    solveLowerInPlace(factor, n, whitened)
    // The program leaves the constant of the density out.
    const constant = -(n / 2) * Math.log(2 * Math.PI)
    expectClose([normalLogDensity(factor, whitened) + constant], [result.logDensity], 1e-9)

    const ramp = (place: number) => (kink === null ? 0 : rampPast(place, kink))
    const toMarks = maternMatrix(at, places, length)
    const predicted = at.map((place, row) => {
      const cross = Float64Array.from(
        places,
        (mark, j) =>
          lineCovariance(place, mark) +
          amplitude ** 2 * toMarks[row * n + j]! +
          kinkSlope(ramp(place)) * kinkSlope(ramp(mark)),
      )
      solveLowerInPlace(factor, n, cross)
      const own =
        lineCovariance(place, place) + amplitude ** 2 + kinkSlope(ramp(place)) * kinkSlope(ramp(place))
      const told = cross.reduce((sum, value) => sum + value * value, 0)
      return {
        mean: cross.reduce((sum, value, j) => sum + value * whitened[j]!, 0),
        deviation: Math.sqrt(own - told),
      }
    })
    expectClose(
      predicted.map(({ mean }) => mean),
      result.mean,
      1e-9,
    )
    expectClose(
      predicted.map(({ deviation }) => deviation),
      result.standardDeviation,
      1e-6,
    )
  })
})
