import type { Track } from './block-means.js'
import type { RestLevel } from './rest-level.js'
import type { SteadyWindow } from './steady-window.js'
import { positionOnLine } from './straight-line.js'
import type { Coast } from './traverse.js'

export interface CoastFit extends Coast {
  /** The moment the drive let go, s. */
  readonly releaseS: number
}

/** The last of the steady part that the coast is joined to, s. */
const JOINED_S = 1
/** A slow table shows so many steps of the readout in it. */
const JOINED_STEPS = 6
/** Samples of the rest that are fitted along, s. */
const REST_S = 0.5
const SEARCH_STEPS = 80

/**
 * Share of the coast travelled once a share of its time unit D/v has passed, by the way the table slows down:
 * at a constant rate (dry friction), less and less (friction falling with speed, power 2), or in proportion to
 * speed (viscous drag).
 */
const SLOWING: readonly ((unit: number) => number)[] = [
  (unit) => powerStop(unit, 1),
  (unit) => powerStop(unit, 2),
  (unit) => 1 - Math.exp(-unit),
]

function powerStop(unit: number, power: number): number {
  const left = 1 - unit / (power + 1)
  return left <= 0 ? 1 : 1 - left ** (power + 1)
}

/**
 * Travel from the moment the drive let go to rest: steady travel up to a release time, from there a deceleration
 * that ends at the rest level, which leaves the release time as the only unknown. Fitted by least squares for
 * three ways of slowing down, and averaged by their likelihoods, so that what the samples cannot tell apart
 * shows in the uncertainty.
 *
 * @param coreTo one past the last sample of the steady part with its guard cut off
 * @returns null where fewer than four samples show the end of the steady part and the rest
 */
export function fitCoast(
  track: Track,
  steady: SteadyWindow,
  coreTo: number,
  rest: RestLevel,
  positionStepMm: number,
): CoastFit | null {
  const { timeS } = track
  const evenMm = (position: number): number => position - steady.rippleMm(position)
  const restMm = evenMm(rest.levelMm)
  const speed = Math.abs(steady.line.slopeMmPerS)
  const direction = Math.sign(steady.line.slopeMmPerS)
  const lastSteadyS = timeS[steady.to - 1]!
  const joinedS = Math.max(JOINED_S, (JOINED_STEPS * positionStepMm) / speed)
  let from = coreTo - 1
  while (from > steady.from && timeS[from - 1]! > timeS[coreTo - 1]! - joinedS) from--
  let to = Math.max(steady.to, rest.from)
  const restUntilS = timeS[Math.min(to, timeS.length - 1)]! + REST_S
  while (to < Math.min(rest.to, timeS.length) && timeS[to]! <= restUntilS) to++
  if (to - from < 4) return null

  // Travel still to go before rest, as the samples have it and as the line has it; leadscrew ripple taken out.
  const evenToGo = Array.from(
    track.positionMm.subarray(from, to),
    (position) => direction * (restMm - evenMm(position)),
  )
  const join = joinOffset(track, steady, from, coreTo)
  const toGoOnLine = (time: number): number => direction * (restMm - positionOnLine(steady.line, time)) - join
  const arrivalS = lastSteadyS + toGoOnLine(lastSteadyS) / speed
  const earliestS = Math.max(timeS[from]!, Math.min(timeS[coreTo - 1]!, arrivalS) - JOINED_S / 2)
  if (!(arrivalS > earliestS)) return null

  const misfit = (releaseS: number, slowing: (unit: number) => number): number => {
    const coastMm = toGoOnLine(releaseS)
    let sum = 0
    for (let i = from; i < to; i++) {
      const time = timeS[i]!
      const toGo =
        time <= releaseS
          ? toGoOnLine(time)
          : coastMm <= 0
            ? 0
            : coastMm * (1 - slowing((speed * (time - releaseS)) / coastMm))
      sum += (evenToGo[i - from]! - toGo) ** 2
    }
    return sum
  }
  const fits = SLOWING.map((slowing) => bestRelease((time) => misfit(time, slowing), earliestS, arrivalS))
  return average(fits, toGoOnLine, speed, {
    samples: to - from,
    scatterMm: steady.scatterMm,
    // Rounding repeats itself from sample to sample until a slow table has moved on by a step.
    alike: Math.max(1, (positionStepMm / speed) * ((to - from) / (timeS[to - 1]! - timeS[from]!))),
    levelUncertaintyMm: positionStepMm / Math.sqrt(6),
  })
}

/** Mean distance of the last steady samples from the line: what drift has made of it there, mm. */
function joinOffset(track: Track, steady: SteadyWindow, from: number, to: number): number {
  let sum = 0
  for (let i = from; i < to; i++) {
    const position = track.positionMm[i]!
    sum += position - steady.rippleMm(position) - positionOnLine(steady.line, track.timeS[i]!)
  }
  return (Math.sign(steady.line.slopeMmPerS) * sum) / (to - from)
}

interface Release {
  readonly releaseS: number
  readonly misfit: number
  /** Second derivative of the misfit by the release time, mm²/s². */
  readonly curvature: number
}

function bestRelease(misfit: (timeS: number) => number, fromS: number, toS: number): Release {
  const step = (toS - fromS) / SEARCH_STEPS
  let best = fromS
  let least = Number.POSITIVE_INFINITY
  for (let k = 0; k <= SEARCH_STEPS; k++) {
    const value = misfit(fromS + k * step)
    if (value < least) {
      least = value
      best = fromS + k * step
    }
  }
  const golden = (Math.sqrt(5) - 1) / 2
  let low = Math.max(fromS, best - step)
  let high = Math.min(toS, best + step)
  for (let round = 0; round < 25; round++) {
    const left = high - golden * (high - low)
    const right = low + golden * (high - low)
    if (misfit(left) < misfit(right)) high = right
    else low = left
  }
  const releaseS = (low + high) / 2
  const value = misfit(releaseS)
  const curvature = (misfit(releaseS - step) + misfit(releaseS + step) - 2 * value) / step ** 2
  return { releaseS, misfit: value, curvature }
}

function average(
  fits: readonly Release[],
  coastAt: (releaseS: number) => number,
  speed: number,
  known: { samples: number; scatterMm: number; alike: number; levelUncertaintyMm: number },
): CoastFit {
  const least = Math.min(...fits.map((fit) => fit.misfit))
  const variance = Math.max(known.scatterMm ** 2, least / (known.samples - 1))
  const weights = fits.map((fit) => Math.exp((least - fit.misfit) / (2 * variance)))
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  const mean = (value: (fit: Release) => number): number =>
    fits.reduce((sum, fit, i) => sum + (weights[i]! / total) * value(fit), 0)

  const distanceMm = Math.max(
    0,
    mean((fit) => coastAt(fit.releaseS)),
  )
  const withinFits = mean((fit) =>
    fit.curvature > 0 ? (speed ** 2 * 2 * variance * known.alike) / fit.curvature : 0,
  )
  const betweenFits = mean((fit) => (coastAt(fit.releaseS) - distanceMm) ** 2)
  return {
    releaseS: mean((fit) => fit.releaseS),
    distanceMm,
    standardUncertaintyMm: Math.sqrt(withinFits + betweenFits + known.levelUncertaintyMm ** 2),
  }
}
