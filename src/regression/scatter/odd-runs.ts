import { median, medianAbsoluteDeviation } from 'simple-statistics'
import type { Direction } from '../../traverse/index.js'
import { forecastMark, type KnownMark, type MarkForecast } from '../curve/mark-forecast.js'
import type { RunEvidence } from '../feed-table.js'
import type { MarkGroup } from './mark-group.js'
import { likelyPoints, type NoiseOptions, type NoisePoint, noiseGrid } from './noise-model.js'
import { type Account, accountsOf, logDensities, sharesOf, summedLogDensity } from './odd-accounts.js'
import { scatteringMarks } from './restricted-likelihood.js'

/** A mark of which one run, or the runs of one setting, are unlikely beside all others. */
export interface OddMark {
  readonly dial: number
  readonly direction: Direction
  /** Probability that something is odd here. */
  readonly probability: number
  /** Sure enough to be told; else the suspects only count less. */
  readonly named: boolean
  /** What may be odd, likeliest first: each the ids of one run, or of the runs of one setting. One where it can be told. */
  readonly suspects: readonly (readonly string[])[]
  /** Logarithm of the likeliest suspect's feed over that of the other runs here. */
  readonly logOffset: number
  /** Relative standard uncertainty that the suspects are given beside their own, so that the rest decides the mark. */
  readonly widening: number
}

/**
 * From this probability on a suspect no longer counts like other runs, so that one which is hardly proven odd cannot
 * do harm: it costs a sound mark one of its runs, in five of a hundred sound tables (`scripts/proofs/odd-runs.js`).
 */
const COUNTS_LESS_FROM = 0.1

/**
 * Probability from which on an odd run is told. Measured by `npm run proof:odd`: one in ten sound tables has a run
 * named at most, heavy tails included.
 */
const TOLD_FROM = 0.9

/**
 * Probability that the suspects must come to together. Judgement: the odd run is left out among them once in
 * twenty times.
 */
const SUSPECTS_HOLD = 0.95

/**
 * Density, per unit of log feed, of any feed whatever beside the forecast: a curve may do the unforeseen.
 * Judgement: it bounds the odds that a forecast can give to a few tens.
 */
const UNFORESEEN = 0.05

/**
 * Times its distance to which an odd run's uncertainty is widened. Derived: it then counts for a hundredth at most
 * beside two sound runs of usual scatter.
 */
const WIDENING_OF_ONE = 3
/** Least widening, relative, for the same reason (judgement). */
const LEAST_WIDENING = 0.3

/**
 * Share of their distance by which two runs are widened of which it cannot be told which is odd. Derived:
 * 1.96·0.7/√2 = 0.97 of the distance, so that the mark's interval reaches from beyond the one to beyond the other.
 */
const WIDENING_OF_SEVERAL = 0.7

/**
 * Every so many pairs of scatters are used to tell odd from sound. Judgement: the grid is fine enough for half of
 * it; the tables use all.
 */
const LOOKING_STRIDE = 2

/** A mark, its accounts, and how probable each is. */
interface AccountedMark {
  readonly mark: MarkGroup
  readonly accounts: readonly Account[]
  readonly shares: readonly number[]
}

/**
 * Marks with a run that the others make unlikely, by the contaminated-normal model of G. E. P. Box, G. C. Tiao
 * (Biometrika 55 (1968) 119-129): every run, or all runs of one setting, is sound and scatters as the noise model
 * says, or with a small probability is odd and may lie anywhere around. The scatters are not known but averaged over
 * their posterior under that same model, so that the odd run itself does not hide behind a scatter that it has blown up.
 *
 * Which of two runs is odd their own mark cannot tell; there the forecast of the dial's other marks, and of the other
 * direction, weighs the accounts.
 *
 * @returns nothing for marks with a single run, and none where no mark was repeated
 */
export function oddMarks(marks: readonly MarkGroup[], options: NoiseOptions): OddMark[] {
  const scattering = scatteringMarks(marks)
  const accounts = scattering.map(accountsOf)
  const scatters = noiseGrid(marks, options).filter((_, q) => q % LOOKING_STRIDE === 0)
  const logs = accounts.map((ofMark) => ofMark.map((account) => logDensities(account, scatters)))
  const points = likelyPoints(
    scatters.map((scatter, q) => ({
      ...scatter,
      q,
      weight: logs.reduce((sum, ofMark) => sum + summedLogDensity(ofMark, q), scatter.weight),
    })),
  )
  const accounted = accounts.map((ofMark, g): AccountedMark => {
    const { runIds } = scattering[g]!
    const mark = marks.find((one) => one.runIds === runIds)!
    return { mark, accounts: ofMark, shares: sharesOf(logs[g]!, points) }
  })
  const scatterAt = (mark: MarkGroup) => expectedVariance(mark, points)
  return accounted.flatMap((one) => {
    // A forecast seldom changes the odds by more than a factor of ten, so that it cannot make these runs suspect.
    if (1 - one.shares[0]! < COUNTS_LESS_FROM / 10) return []
    const others = knownMarks(marks, accounted, one.mark, scatterAt)
    const found = weighed(one, forecastMark(others, one.mark.dial), scatterAt(one.mark))
    return 1 - found.shares[0]! < COUNTS_LESS_FROM ? [] : [oddMark(found)]
  })
}

/** Relative variance of one run at a mark, its own reading left out. */
function expectedVariance(mark: MarkGroup, points: readonly NoisePoint[]): number {
  const slope = mark.slopeMmPerMin / mark.meanFeedMmPerMin
  return points.reduce(
    (sum, { weight, runRelative, dialReset }) => sum + weight * (runRelative ** 2 + (slope * dialReset) ** 2),
    0,
  )
}

/** The accounts weighted by how probable the forecast of the other marks makes each. */
function weighed(one: AccountedMark, forecast: MarkForecast | null, scatter: number): AccountedMark {
  if (forecast === null) return one
  const raw = one.accounts.map(({ sound, logFeed }, a) => {
    const deviation = Math.sqrt(scatter / sound.settings.length)
    return one.shares[a]! * (UNFORESEEN + forecast(Math.exp(logFeed), deviation))
  })
  const total = raw.reduce((sum, share) => sum + share, 0)
  return { ...one, shares: raw.map((share) => share / total) }
}

/**
 * The runs with the suspected ones set aside: they stay, and hardly count.
 * @param share of the widening to use; 0 only keeps them out of their mark's plain mean
 */
export function setAside(runs: readonly RunEvidence[], odd: readonly OddMark[], share = 1): RunEvidence[] {
  const widenings = new Map(
    odd.flatMap(({ suspects, widening }) => suspects.flat().map((id) => [id, share * widening] as const)),
  )
  return runs.map((run) => {
    const widening = widenings.get(run.runId)
    if (widening === undefined) return run
    const { standardUncertaintyMmPerMin: own, feedMmPerMin } = run
    return {
      ...run,
      standardUncertaintyMmPerMin: Math.hypot(own, widening * feedMmPerMin),
      setAside: true,
    }
  })
}

function oddMark({ mark, accounts, shares }: AccountedMark): OddMark {
  const probability = 1 - shares[0]!
  const ranked = accounts
    .map((account, a) => ({ account, share: shares[a]! / probability }))
    .slice(1)
    .sort((a, b) => b.share - a.share)
  let sum = 0
  const suspects = ranked.filter(({ share }) => {
    const needed = sum < SUSPECTS_HOLD
    sum += share
    return needed
  })
  const offset = Math.max(...suspects.map(({ account }) => Math.abs(account.logOffset)))
  return {
    dial: mark.dial,
    direction: mark.direction,
    probability,
    named: probability >= TOLD_FROM,
    suspects: suspects.map(({ account }) => account.odd.map((k) => mark.runIds[k]!)),
    logOffset: suspects[0]!.account.logOffset,
    widening:
      suspects.length === 1
        ? Math.max(LEAST_WIDENING, WIDENING_OF_ONE * offset)
        : WIDENING_OF_SEVERAL * offset,
  }
}

/**
 * The marks that foretell one: those of its direction, and those of the other brought to its level by the median of
 * what the directions differ by where both were measured, without the mark in question.
 */
function knownMarks(
  marks: readonly MarkGroup[],
  accounted: readonly AccountedMark[],
  asked: MarkGroup,
  scatterAt: (mark: MarkGroup) => number,
): KnownMark[] {
  const known = (mark: MarkGroup): KnownMark => {
    const one = accounted.find((candidate) => candidate.mark === mark)
    const scatter = scatterAt(mark) / mark.settings.length
    if (one === undefined) {
      return { dial: mark.dial, feedMmPerMin: mark.meanFeedMmPerMin, relativeDeviation: Math.sqrt(scatter) }
    }
    const logFeed = one.accounts.reduce((sum, account, a) => sum + one.shares[a]! * account.logFeed, 0)
    const between = one.accounts.reduce(
      (sum, account, a) => sum + one.shares[a]! * (account.logFeed - logFeed) ** 2,
      0,
    )
    return {
      dial: mark.dial,
      feedMmPerMin: Math.exp(logFeed),
      relativeDeviation: Math.sqrt(scatter + between),
    }
  }
  const usable = marks.filter((mark) => mark !== asked && !mark.creeps)
  const own = usable.filter((mark) => mark.direction === asked.direction).map(known)
  const other = usable.filter((mark) => mark.direction !== asked.direction).map(known)
  const logRatios = own.flatMap(({ dial, feedMmPerMin }) => {
    const there = other.find((mark) => mark.dial === dial)
    return there === undefined ? [] : [Math.log(feedMmPerMin / there.feedMmPerMin)]
  })
  if (logRatios.length < SHARED_MARKS) return own
  const logRatio = median(logRatios)
  // Of a normal the median absolute deviation is 0.6745 standard deviations.
  const spread = medianAbsoluteDeviation(logRatios) / 0.6745
  return [
    ...own,
    ...other.map((mark) => ({
      dial: mark.dial,
      feedMmPerMin: mark.feedMmPerMin * Math.exp(logRatio),
      relativeDeviation: Math.hypot(mark.relativeDeviation, spread),
    })),
  ]
}

/**
 * Marks in common from which on a direction foretells the other. Derived: of fewer than three ratios the median
 * absolute deviation is no spread.
 */
const SHARED_MARKS = 3
