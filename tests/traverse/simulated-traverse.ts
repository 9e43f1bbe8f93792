import { randomExponential, randomNormal } from 'd3-random'
import { mersenne } from 'pure-rand'
import type { SampleSeries } from '../../src/ingest/index.js'

/** Uniform numbers in 0…1 from a seed; the seed is in every failing title, so that a failure can be made again. */
export function seededUniform(seed: number): () => number {
  const generator = mersenne(seed)
  return () => (generator.unsafeNext() >>> 0) / 2 ** 32
}

/** What a simulated recording is made of. Everything off by default: a clean traverse. */
export interface SimulationOptions {
  readonly seed: number
  readonly feedMmPerMin: number
  /** Time the drive is on, s. */
  readonly driveS: number
  readonly rateHz?: number
  readonly stepMm?: number
  readonly direction?: 1 | -1
  readonly startMm?: number
  readonly originS?: number
  readonly restBeforeS?: number
  readonly restAfterS?: number
  readonly rampS?: number
  readonly rampShape?: 'linear' | 'exponential'
  /** Time from letting go to rest with a steady deceleration; time constant when exponential. */
  readonly coastS?: number
  readonly coastShape?: 'linear' | 'exponential'
  readonly rippleRelative?: number
  readonly pitchMm?: number
  /** Normal scatter of the table itself, mm. */
  readonly noiseMm?: number
  /** Mean of an exponential, one-sided delay of arrival, s. */
  readonly arrivalDelayS?: number
  /** Lines wait for the end of a slot of this length, s. */
  readonly batchS?: number
  readonly droppedShare?: number
  readonly outlierShare?: number
  /** Drive stands still from this share of the drive time on, for so long. */
  readonly stall?: { readonly atShare: number; readonly lengthS: number; readonly speedShare?: number }
  /** Position jumps by so much at this share of the drive time. */
  readonly jump?: { readonly atShare: number; readonly mm: number }
  readonly zeroedAtShare?: number
  readonly unitSwitchedAtShare?: number
  /** Share of the drive time without any line. */
  readonly silence?: { readonly fromShare: number; readonly toShare: number }
  /** Last digit flickers by one step at rest and in motion. */
  readonly dither?: boolean
}

interface SimulatedTraverse {
  readonly samples: SampleSeries
  readonly releaseS: number
  readonly coastMm: number
}

/** Samples of one traverse as a readout would show it; `shape` is integrated in closed form, nothing is stepped. */
export function simulateTraverse(options: SimulationOptions): SimulatedTraverse {
  const uniform = seededUniform(options.seed)
  const normal = randomNormal.source(uniform)(0, 1)
  const delay = randomExponential.source(uniform)(1)
  const rateHz = options.rateHz ?? 10
  const stepMm = options.stepMm ?? 0.005
  const direction = options.direction ?? 1
  const speed = options.feedMmPerMin / 60
  const rampS = options.rampS ?? 0.3
  const coastS = options.coastS ?? 0.3
  const onS = options.restBeforeS ?? 2
  const releaseS = onS + options.driveS
  const endS = releaseS + (options.restAfterS ?? 4) + coastS
  const pitchMm = options.pitchMm ?? 5
  const rippleMm = ((options.rippleRelative ?? 0) * pitchMm) / (2 * Math.PI)
  const phase = 2 * Math.PI * uniform()
  const firstS = uniform() / rateHz
  const startMm = (options.startMm ?? 20) + uniform() * stepMm

  const driven = (t: number): number => {
    const stall = options.stall
    let on = Math.min(Math.max(0, t - onS), options.driveS)
    if (stall !== undefined) {
      const from = stall.atShare * options.driveS
      const lost = Math.min(Math.max(0, on - from), stall.lengthS)
      on -= lost * (1 - (stall.speedShare ?? 0))
    }
    if (rampS === 0) return speed * on
    if (options.rampShape === 'exponential') return speed * (on - rampS * (1 - Math.exp(-on / rampS)))
    return on < rampS ? (speed * on * on) / (2 * rampS) : speed * (on - rampS / 2)
  }
  const coasted = (t: number): number => {
    const off = Math.max(0, t - releaseS)
    if (off === 0 || coastS === 0) return 0
    if (options.coastShape === 'exponential') return speed * coastS * (1 - Math.exp(-off / coastS))
    const left = Math.min(off, coastS)
    return speed * (left - (left * left) / (2 * coastS))
  }
  const ripple = (travel: number): number =>
    rippleMm * (Math.sin((2 * Math.PI * travel) / pitchMm + phase) - Math.sin(phase))

  const times: number[] = []
  const positions: number[] = []
  let zeroMm = 0
  let previous = Number.NEGATIVE_INFINITY
  for (let k = 0; firstS + k / rateHz < endS; k++) {
    const t = firstS + k / rateHz
    const share = (t - onS) / options.driveS
    const nominal = driven(t) + coasted(t)
    let travel = nominal + ripple(nominal)
    if (options.jump !== undefined && share >= options.jump.atShare) travel += options.jump.mm
    let position = startMm + direction * travel + normal() * (options.noiseMm ?? 0)
    if (options.zeroedAtShare !== undefined && share >= options.zeroedAtShare) {
      if (zeroMm === 0) zeroMm = position
      position -= zeroMm
    }
    if (options.unitSwitchedAtShare !== undefined && share >= options.unitSwitchedAtShare) position /= 25.4
    let shown = Math.round(position / stepMm) * stepMm
    if (options.dither === true) shown += Math.round(uniform() * 2 - 1) * stepMm
    if (uniform() < (options.outlierShare ?? 0)) shown += (uniform() - 0.5) * 40
    const sent = t + (options.arrivalDelayS ?? 0) * delay()
    const batchS = options.batchS ?? 0
    const arrived = Math.max(previous, batchS > 0 ? Math.ceil(sent / batchS) * batchS : sent)
    const silent =
      options.silence !== undefined && share >= options.silence.fromShare && share < options.silence.toShare
    if (silent || uniform() < (options.droppedShare ?? 0)) continue
    previous = arrived
    times.push(arrived + (options.originS ?? 0))
    positions.push(shown)
  }
  return {
    samples: {
      timeS: Float64Array.from(times),
      positionMm: Float64Array.from(positions),
      deviceTimeS: null,
    },
    releaseS: releaseS + (options.originS ?? 0),
    coastMm: Math.abs(
      driven(endS) +
        coasted(endS) +
        ripple(driven(endS) + coasted(endS)) -
        driven(releaseS) -
        ripple(driven(releaseS)),
    ),
  }
}

/** Several recordings one after the other, positions carried on from one to the next. */
export function joinRecordings(parts: readonly SampleSeries[]): SampleSeries {
  const timeS: number[] = []
  const positionMm: number[] = []
  for (const part of parts) {
    const time0 = (timeS.at(-1) ?? 0) + 0.1 - (part.timeS[0] ?? 0)
    const position0 = (positionMm.at(-1) ?? part.positionMm[0] ?? 0) - (part.positionMm[0] ?? 0)
    for (const [i, time] of part.timeS.entries()) {
      timeS.push(time + time0)
      positionMm.push((part.positionMm[i] ?? 0) + position0)
    }
  }
  return { timeS: Float64Array.from(timeS), positionMm: Float64Array.from(positionMm), deviceTimeS: null }
}
