import { logSum } from '../../numbers/index.js'
import { mean } from '../../numbers/mean.js'
import type { NoisePoint } from './noise-model.js'
import { restrictedLikelihood, type ScatteringMark } from './restricted-likelihood.js'

/** One way in which a mark's runs may have come about: with nothing odd, or with these runs odd. */
export interface Account {
  /** Indices of the odd runs; none where all are sound. */
  readonly odd: readonly number[]
  /** The sound ones. */
  readonly sound: ScatteringMark
  /** Runs of one odd setting, which still agree among themselves. */
  readonly together: ScatteringMark | null
  readonly logPrior: number
  /** Mean log feed of the sound ones. */
  readonly logFeed: number
  readonly logOffset: number
}

/** Beforehand one run in a hundred has a wrong dial, a slipped lever or a wrong figure. Common practice, no source. */
export const ODD_SHARE = 0.01

/**
 * How far an odd run lies off: half of them by more than this, log feed, after a Cauchy distribution, whose tail also
 * holds a 4 that was written as 40. Wrong dials and slips are off by 8 to 30 %, rarely more. Common practice, no source.
 */
export const TYPICAL_OFFSET = 0.15

/** ln 2π, of the normal density (by definition). */
const LOG_2_PI = Math.log(2 * Math.PI)

/** All accounts of a mark: nothing odd first, then each setting, and each run of a setting that has several. */
export function accountsOf(mark: ScatteringMark): Account[] {
  const { settings } = mark
  const odd = [
    ...(settings.length > 1 ? settings : []),
    ...settings.filter((setting) => setting.length > 1).flatMap((setting) => setting.map((k) => [k])),
  ]
  const sound: Account = {
    odd: [],
    sound: mark,
    together: null,
    logPrior: Math.log1p(-ODD_SHARE),
    logFeed: mean(mark.logFeeds),
    logOffset: 0,
  }
  return [
    sound,
    ...odd.map((runs) => {
      const rest = partOf(mark, (k) => !runs.includes(k))
      const logFeed = mean(rest.logFeeds)
      const logOffset = mean(runs.map((k) => mark.logFeeds[k]!)) - logFeed
      return {
        odd: runs,
        sound: rest,
        together: runs.length > 1 ? partOf(mark, (k) => runs.includes(k)) : null,
        logPrior: Math.log(ODD_SHARE) + logCauchy(logOffset),
        logFeed,
        logOffset,
      }
    }),
  ]
}

function logCauchy(offset: number): number {
  return Math.log(TYPICAL_OFFSET / Math.PI / (TYPICAL_OFFSET ** 2 + offset ** 2))
}

function partOf(mark: ScatteringMark, keep: (k: number) => boolean): ScatteringMark {
  const kept = [...mark.logFeeds.keys()].filter(keep)
  return {
    runIds: kept.map((k) => mark.runIds[k]!),
    logFeeds: kept.map((k) => mark.logFeeds[k]!),
    ownVariances: kept.map((k) => mark.ownVariances[k]!),
    slopeSquared: mark.slopeSquared,
    settings: mark.settings
      .map((setting) => setting.filter(keep).map((k) => kept.indexOf(k)))
      .filter((setting) => setting.length > 0),
  }
}

/** Log density of the mark's runs under an account, for each pair of scatters. */
export function logDensities(
  { sound, together, logPrior }: Account,
  scatters: readonly NoisePoint[],
): number[] {
  const ofSound = logDensity(sound)
  const ofOdd = together === null ? () => 0 : logDensity(together)
  return scatters.map((scatter) => logPrior + ofSound(scatter) + ofOdd(scatter))
}

/** The restricted likelihood leaves the constant out, but accounts with unlike numbers of runs compare only with it. */
function logDensity(mark: ScatteringMark): (scatter: NoisePoint) => number {
  const likelihood = restrictedLikelihood(mark, mark.logFeeds)
  const constant = ((mark.logFeeds.length - 1) * LOG_2_PI) / 2
  return (scatter) => likelihood(scatter) - constant
}

/** Logarithm of the summed densities at scatter `q`. */
export function summedLogDensity(logs: readonly (readonly number[])[], q: number): number {
  return logSum(logs.map((log) => log[q]!))
}

/** How probable each account is, over the posterior of the scatters. */
export function sharesOf(
  logs: readonly (readonly number[])[],
  points: readonly { readonly q: number; readonly weight: number }[],
): number[] {
  const shares = logs.map(() => 0)
  for (const { q, weight } of points) {
    const all = summedLogDensity(logs, q)
    logs.forEach((log, a) => {
      shares[a] = shares[a]! + weight * Math.exp(log[q]! - all)
    })
  }
  return shares
}
