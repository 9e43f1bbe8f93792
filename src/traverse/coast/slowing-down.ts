/**
 * One way of slowing down from the feed to rest, in units that make the feed 1 and the coast 1: time counts in
 * coast over feed.
 */
export interface SlowingDown {
  /** From letting go to rest. */
  readonly duration: number
  /** Share of the coast still to go, and share of the feed still left, at equal steps of time from 0 to `duration`. */
  readonly toGo: Float64Array
  readonly speed: Float64Array
}

/**
 * Entries of a table of a way of slowing down. Derived: a chord is off by h²/8 times the curvature at most, 1e-5
 * of the coast for h = 1/128 and a curvature about 1.
 */
export const SLOWING_STEPS = 128
/**
 * Steps of the trapezoid rule within an entry. Derived: by the same rule its error is 8² times smaller than that
 * of an entry.
 */
const STEPS_WITHIN = 8

/** A way of slowing down from its speed over time, 1 at time 0 and falling to 0 at `endTime` in any unit of time. */
function slowingDown(speedAt: (time: number) => number, endTime: number): SlowingDown {
  const stepTime = endTime / (SLOWING_STEPS * STEPS_WITHIN)
  const travelled = new Float64Array(SLOWING_STEPS + 1)
  let sum = 0
  for (let step = 1; step <= SLOWING_STEPS * STEPS_WITHIN; step++) {
    sum += ((speedAt((step - 1) * stepTime) + speedAt(step * stepTime)) / 2) * stepTime
    if (step % STEPS_WITHIN === 0) travelled[step / STEPS_WITHIN] = sum
  }
  return {
    duration: endTime / sum,
    toGo: travelled.map((distance) => 1 - distance / sum),
    speed: travelled.map((_, i) => speedAt((i * endTime) / SLOWING_STEPS)),
  }
}

/**
 * Time constants after which an exponential counts as at rest. Derived: e^(−9), 1e-4 of the coast, is then left,
 * far below what a readout shows.
 */
const LAST_TIME_CONSTANTS = 9

/**
 * dv/dt = −a − b·v, dry friction and viscous drag: with m = a/b over the feed, v = (1 + m)·e^(−t) − m; from friction
 * alone (steady deceleration, m large) to drag alone (exponential).
 */
function frictionAndDrag(m: number): SlowingDown {
  const endTime = Math.min(Math.log1p(1 / m), LAST_TIME_CONSTANTS)
  return slowingDown((time) => Math.max(0, (1 + m) * Math.exp(-time) - m), endTime)
}

/** dv/dt = −a + b·v, friction that grabs the harder the slower the table gets, up to e^`growth` times as hard (Stribeck 1902). */
function grabbing(growth: number): SlowingDown {
  return slowingDown((time) => 1 - Math.expm1(growth * time) / Math.expm1(growth), 1)
}

/** Steady deceleration that becomes `ratio` times as hard when the speed has fallen to `at`: a brake that ends, or one that bites late. */
function inTwoStages(at: number, ratio: number): SlowingDown {
  const firstTime = 1 - at
  const endTime = firstTime + at / ratio
  return slowingDown(
    (time) => (time < firstTime ? 1 - time : Math.max(0, at - ratio * (time - firstTime))),
    endTime,
  )
}

/** v = (1 − t^rise)^fall: a deceleration that builds up, as where a drive winds down before it lets go. */
function buildingUp(rise: number, fall: number): SlowingDown {
  return slowingDown((time) => Math.max(0, 1 - time ** rise) ** fall, 1)
}

/** A way of slowing down and how likely it is beforehand, relative to the others. */
interface WeighedWay extends SlowingDown {
  readonly weight: number
}

function weighed(weight: number, ways: readonly SlowingDown[]): WeighedWay[] {
  return ways.map((way) => ({ ...way, weight }))
}

/**
 * The ways of slowing down to reckon with, from those that brake hardest at once to those that hardly brake at first,
 * and how likely each is (common practice, no source): friction and drag first of all. Which one a drive follows is
 * not known beforehand, and where the samples cannot tell, their difference is the uncertainty.
 * They are worked out when they are first asked for: most starts of the program ask for none.
 */
export function waysOfSlowingDown(): readonly WeighedWay[] {
  ways ??= [
    ...weighed(1, [50, 1.5, 0.5, 0.15, 0.05, 0.015, 0.004, 1e-9].map(frictionAndDrag)),
    ...weighed(
      0.5,
      [1.5, 2, 3, 4].map((fall) => buildingUp(1, fall)),
    ),
    ...weighed(0.3, [0.7, 1.6].map(grabbing)),
    ...weighed(
      0.2,
      [0.9, 0.75, 0.5].flatMap((at) => [0.25, 0.5, 2, 4].map((ratio) => inTwoStages(at, ratio))),
    ),
    ...[
      { rise: 1.4, weight: 0.3 },
      { rise: 2, weight: 0.15 },
      { rise: 2.6, weight: 0.04 },
    ].flatMap(({ rise, weight }) =>
      weighed(
        weight,
        [1, 2].map((fall) => buildingUp(rise, fall)),
      ),
    ),
  ]
  return ways
}

let ways: readonly WeighedWay[] | undefined
