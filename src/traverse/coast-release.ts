/** The end of a traverse as its samples show it. */
export interface Stopping {
  readonly times: Float64Array
  /** Travel still to go before rest, mm. */
  readonly toGoMm: Float64Array
  readonly speedMmPerS: number
  /** When the steady line would reach the rest level, s. */
  readonly arrivalS: number
  /** Scatter of a sample at rest, mm, and what lateness adds to it per mm/s of speed, s. */
  readonly restMm: number
  readonly lateS: number
  /** Number of neighbouring samples that tell no more than one. */
  readonly alike: number
}

/** How long before its arrival on the steady line the drive let go, s; times the speed, the coast. */
export interface Lead {
  readonly meanS: number
  readonly standardDeviationS: number
}

/** Weights of a sample fall off beyond its scatter as those of Student's t with so many degrees of freedom: late lines. */
const TAIL_DEGREES = 4
/** No table follows these ways of slowing down to better than this share of its coast. */
const MODEL_SHARE = 0.015
/** What is off the ways is off them for all samples within so long, s, which tell no more than one. */
const ALIKE_S = 0.05
const GRID_STEPS = 48
/** Each time the grid shrinks to where the weight is; thrice brings it from a second to a millisecond. */
const ROUNDS = 3
/** Weights below e to the minus this are nothing. */
const NOTHING = 12

/** Share of the coast still to go and of the speed still left, at a time in units of coast over speed. */
type Slowing = (unit: number) => { readonly left: number; readonly speed: number }

/**
 * Ways of slowing down by dv/dt = −a − b·v, dry friction and viscous drag: from friction alone (steady
 * deceleration) to drag alone (exponential). With v in units of the feed, time in units of coast over feed and
 * m = a/b, v = (1 + m)·e^(−u·s) − m with s = 1 − m·ln(1 + 1/m), which makes the coast 1.
 */
const BY_FRICTION_AND_DRAG: readonly Slowing[] = [50, 4, 1.5, 0.7, 0.35, 0.15, 0.05, 0.015, 1e-9].map(
  (terminal) => {
    const rate = 1 - terminal * Math.log1p(1 / terminal)
    const endUnit = Math.log1p(1 / terminal) / rate
    return (unit) => {
      if (unit >= endUnit) return { left: 0, speed: 0 }
      const decay = Math.exp(-unit * rate)
      const travelled = ((1 + terminal) * (1 - decay)) / rate - terminal * unit
      return { left: Math.max(0, 1 - travelled), speed: (1 + terminal) * decay - terminal }
    }
  },
)

/**
 * Ways of slowing down by dv/dt = −a·v^p, for friction that falls with speed otherwise: with q = 1/(1 − p),
 * v = (1 − u/(q + 1))^q.
 */
const BY_POWER: readonly Slowing[] = [4 / 3, 2, 4].map((power) => (unit) => {
  const base = Math.max(0, 1 - unit / (power + 1))
  return { left: base ** (power + 1), speed: base ** power }
})

const SLOWINGS = [...BY_FRICTION_AND_DRAG, ...BY_POWER]

/**
 * When the drive let go: every release time from `earliestS` on and every way of slowing down, weighted by how
 * likely it makes the samples, all of them alike beforehand. The distance lost in what the samples cannot tell
 * apart (which way, and when between two lines) is in the standard deviation.
 */
export function weighReleases(stopping: Stopping, earliestS: number): Lead {
  const longestS = stopping.arrivalS - earliestS
  const grids = SLOWINGS.map((slowing) =>
    refineGrid((leadS) => logLikelihood(stopping, slowing, leadS), longestS),
  )
  const best = Math.max(...grids.flatMap((grid) => grid.logs))
  let weights = 0
  let sum = 0
  let squares = 0
  for (const { leadsS, logs, stepS } of grids) {
    for (const [k, leadS] of leadsS.entries()) {
      const weight = stepS * Math.exp(logs[k]! - best)
      weights += weight
      sum += weight * leadS
      squares += weight * leadS * leadS
    }
  }
  const meanS = sum / weights
  // Within a step of the grid all is alike.
  const withinS =
    Math.max(...grids.map((grid) => (Math.max(...grid.logs) > best - 2 ? grid.stepS : 0))) / Math.sqrt(12)
  const scatter = Math.sqrt(Math.max(0, squares / weights - meanS ** 2))
  return { meanS, standardDeviationS: Math.hypot(scatter, withinS, MODEL_SHARE * meanS) }
}

interface Grid {
  readonly leadsS: readonly number[]
  readonly logs: readonly number[]
  readonly stepS: number
}

function refineGrid(logOf: (leadS: number) => number, longestS: number): Grid {
  let fromS = 0
  let toS = longestS
  let grid: Grid = { leadsS: [], logs: [], stepS: 0 }
  for (let round = 0; round < ROUNDS; round++) {
    const stepS = (toS - fromS) / GRID_STEPS
    const leadsS = Array.from({ length: GRID_STEPS }, (_, k) => fromS + (k + 0.5) * stepS)
    const logs = leadsS.map(logOf)
    grid = { leadsS, logs, stepS }
    const best = Math.max(...logs)
    const first = logs.findIndex((log) => log > best - NOTHING)
    const last = logs.findLastIndex((log) => log > best - NOTHING)
    fromS = Math.max(fromS, leadsS[first]! - 1.5 * stepS)
    toS = Math.min(toS, leadsS[last]! + 1.5 * stepS)
  }
  return grid
}

function logLikelihood(stopping: Stopping, slowing: Slowing, leadS: number): number {
  const { times, toGoMm, speedMmPerS, arrivalS, restMm, lateS } = stopping
  const releaseS = arrivalS - leadS
  const coastMm = speedMmPerS * leadS
  let sum = 0
  for (let i = 0; i < times.length; i++) {
    const time = times[i]!
    let left = speedMmPerS * (arrivalS - time)
    let speed = speedMmPerS
    if (time > releaseS) {
      const now = slowing((time - releaseS) / leadS)
      left = coastMm * now.left
      speed = speedMmPerS * now.speed
    }
    const variance = restMm ** 2 + (lateS * speed) ** 2
    const off = toGoMm[i]! - left
    sum -=
      Math.log(variance) / 2 + ((TAIL_DEGREES + 1) / 2) * Math.log1p(off ** 2 / (TAIL_DEGREES * variance))
  }
  const rateHz = (times.length - 1) / (times.at(-1)! - times[0]!)
  return sum / Math.max(stopping.alike, ALIKE_S * rateHz)
}
