import type { Track } from './block-means.js'
import { weighReleases } from './coast-release.js'
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
/** Lines scatter in arrival by so much at least, s (common practice, no source). */
const LEAST_LATE_S = 0.0005

/**
 * Travel from the moment the drive let go to rest: steady travel up to a release time, from there a deceleration
 * that ends at the rest level, which leaves the release time and the way of slowing down unknown (`weighReleases`). The
 * distance is the mean, its uncertainty the standard deviation, over all of them weighted by likelihood, so that
 * what the samples cannot tell apart shows in the uncertainty.
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
  const joinedS = Math.max(JOINED_S, (JOINED_STEPS * positionStepMm) / speed)
  let from = coreTo - 1
  while (from > steady.from && timeS[from - 1]! > timeS[coreTo - 1]! - joinedS) from--
  let to = Math.max(steady.to, rest.from)
  const restUntilS = timeS[Math.min(to, timeS.length - 1)]! + REST_S
  while (to < Math.min(rest.to, timeS.length) && timeS[to]! <= restUntilS) to++
  if (to - from < 4) return null

  // Travel still to go before rest, as the samples have it and as the line has it; leadscrew ripple taken out.
  const toGoMm = Float64Array.from(
    track.positionMm.subarray(from, to),
    (position) => direction * (restMm - evenMm(position)),
  )
  const times = timeS.subarray(from, to)
  const joinMm = joinOffset(track, steady, from, coreTo)
  const onLine = (time: number): number => direction * (restMm - positionOnLine(steady.line, time)) - joinMm
  const arrivalS = times[0]! + onLine(times[0]!) / speed
  const earliestS = Math.max(times[0]!, Math.min(timeS[coreTo - 1]!, arrivalS) - JOINED_S / 2)
  if (!(arrivalS > earliestS)) return null

  const scatter = stoppingScatter(steady, positionStepMm)
  // Rounding repeats itself from sample to sample until a slow table has moved on by a step.
  const alike = Math.max(1, ((positionStepMm / speed) * (to - from)) / (times.at(-1)! - times[0]!))
  const released = weighReleases(
    { times, toGoMm, speedMmPerS: speed, arrivalS, ...scatter, alike },
    earliestS,
  )
  const levelsMm = Math.hypot(positionStepMm / Math.sqrt(12), steady.scatterMm / Math.sqrt(coreTo - from))
  return {
    releaseS: arrivalS - released.meanS,
    distanceMm: released.meanS * speed,
    standardUncertaintyMm: Math.hypot(released.standardDeviationS * speed, levelsMm),
  }
}

/** The hardest a table brakes by itself: friction, mm/s², and drag in proportion to speed, 1/s (common practice, no source). */
const FRICTION_MM_PER_S2 = 100
const DRAG_PER_S = 20
/** The least coast must exceed the scatter so many times before the lack of one tells. */
const TELLING_SCATTERS = 3

/**
 * Whether the reading stopped dead from full speed, quicker than a table can: on the very number that a line showed
 * while it still moved at the feed, or between two lines too soon after the one and too long before the other. A
 * readout that froze does so. Slow feeds coast too little to tell.
 */
export function stoppedDead(
  track: Track,
  steady: SteadyWindow,
  rest: RestLevel,
  positionStepMm: number,
): boolean {
  const { timeS, positionMm } = track
  const speed = Math.abs(steady.line.slopeMmPerS)
  const braking = FRICTION_MM_PER_S2 + DRAG_PER_S * speed
  const scatterMm = Math.max(steady.scatterMm, positionStepMm / 2)
  if (speed ** 2 / (2 * braking) < TELLING_SCATTERS * scatterMm) return false
  const onLine = (i: number): boolean => {
    const evenMm = positionMm[i]! - steady.rippleMm(positionMm[i]!)
    return Math.abs(evenMm - positionOnLine(steady.line, timeS[i]!)) <= TELLING_SCATTERS * scatterMm
  }
  let last = Math.max(rest.from, steady.to - 1)
  while (last > steady.from && !onLine(last)) last--
  const next = last + 1
  const atRest = (i: number): boolean => Math.abs(positionMm[i]! - rest.levelMm) <= positionStepMm / 2
  if (next >= timeS.length || !atRest(next)) return false
  if (atRest(last)) return true
  const arrivalS = timeS[last]! + Math.abs(rest.levelMm - positionMm[last]!) / speed
  const lateS = scatterMm / speed
  return Math.min(arrivalS - timeS[last]!, timeS[next]! - arrivalS) + lateS < speed / braking / 2
}

/** Scatter of a sample at rest, mm, and what lateness adds to it per mm/s of speed, s. */
function stoppingScatter(steady: SteadyWindow, positionStepMm: number): { restMm: number; lateS: number } {
  const restMm = positionStepMm / Math.sqrt(12)
  const speed = Math.abs(steady.line.slopeMmPerS)
  const lateS = Math.sqrt(Math.max(0, steady.scatterMm ** 2 - restMm ** 2)) / speed
  return { restMm, lateS: Math.max(LEAST_LATE_S, lateS) }
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
