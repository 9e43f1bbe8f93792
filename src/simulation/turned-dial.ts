import type { Direction } from '../traverse/index.js'
import { type SeededRandom, seededRandom } from './seeded-random.js'
import type { SimulatedMill } from './simulated-mill.js'
import type { TableMotion } from './traverse-motion.js'

/** How a hand turns the knob from one setting to the next. */
export type KnobTurn = 'straight' | 'slow' | 'past-and-back' | 'stop-between'

/** One travel through several settings of the dial without a stop. */
export interface TurnedTraverse {
  readonly direction: Direction
  /** In the order turned, with how long each is held from the moment the knob stands, s. */
  readonly settings: readonly { readonly dial: number; readonly holdS: number }[]
  readonly turn: KnobTurn
  /** Where on the axis it starts, mm; default: the low end for +, the high end for −. */
  readonly startMm?: number
  readonly restBeforeS?: number
  readonly restAfterS?: number
}

/** The truth about one setting of it. */
export interface TrueLevel {
  readonly dial: number
  /** Where the dial was really set. */
  readonly dialActual: number
  /** The steady feed of this very level, mm/min. */
  readonly feedMmPerMin: number
  /** From when to when the knob stood there, s. */
  readonly fromS: number
  readonly toS: number
}

interface SimulatedTurnedTraverse {
  readonly motion: TableMotion
  readonly levels: readonly TrueLevel[]
  readonly endMm: number
}

/** How long the hand takes for a turn, s: least and most (common practice, no source). */
const TURN_S = { quick: [0.5, 1.5], slow: [3, 5] } as const
/** How long a hand rests on the way in a turn with a stop in between, s (judgement). */
const STOP_S = [1, 3] as const
/** Step of the motion, s. Derived: a hundredth of the quickest drive's time constant. */
const STEP_S = 0.001

/**
 * A traverse in which the knob is turned while the table travels. The drive follows what the knob asks for with its time
 * constant; the run-to-run factor is one for the whole travel, and each setting is set with its own error. Worked out in
 * small steps, exact for a knob that stands.
 *
 * @param seed the same mill, request and seed give the same travel
 */
export function simulateTurnedTraverse(
  mill: SimulatedMill,
  request: TurnedTraverse,
  seed: number,
): SimulatedTurnedTraverse {
  const random = seededRandom(seed)
  const { direction } = request
  const factor = (direction === 1 ? 1 : mill.minusFactor) * Math.exp(random.normal(0, mill.runScatter))
  const restBeforeS = request.restBeforeS ?? 2
  const levels: TrueLevel[] = []
  const knots: Knot[] = []
  let atS = restBeforeS
  for (const [index, { dial, holdS }] of request.settings.entries()) {
    const dialActual = dial + random.normal(0, mill.dialResetScatter)
    const before = knots.at(-1)
    if (before === undefined) knots.push({ atS, dial: dialActual })
    else {
      knots.push(...turnTo(before, dialActual, request.turn, random))
      atS = knots.at(-1)!.atS
    }
    const feedMmPerMin = mill.curve(dialActual) * factor
    levels.push({ dial, dialActual, feedMmPerMin, fromS: atS, toS: atS + holdS })
    atS += holdS
    knots.push({ atS, dial: dialActual })
    if (index === request.settings.length - 1) break
  }
  const startMm = request.startMm ?? (direction === 1 ? 0 : mill.travelMm)
  const screw = followed(mill, knots, { startMm, direction, startS: restBeforeS, offS: atS, factor })
  const perMm = (2 * Math.PI) / mill.leadscrewPitchMm
  const tableMm = (screwMm: number) => screwMm + (mill.rippleFraction / perMm) * Math.sin(perMm * screwMm)
  return {
    motion: {
      durationS: screw.restS + (request.restAfterS ?? 5),
      positionMmAt: (timeS) => tableMm(screw.at(timeS)),
      speedMmPerSAt: (timeS) => (tableMm(screw.at(timeS + STEP_S)) - tableMm(screw.at(timeS))) / STEP_S,
    },
    levels,
    endMm: screw.at(screw.restS),
  }
}

interface Knot {
  readonly atS: number
  readonly dial: number
}

function turnTo(from: Knot, dial: number, turn: KnobTurn, random: SeededRandom): Knot[] {
  const draw = ([least, most]: readonly [number, number]) => least + (most - least) * random.uniform()
  const quickS = draw(TURN_S.quick)
  const there = (afterS: number, to: number): Knot => ({ atS: from.atS + afterS, dial: to })
  if (turn === 'slow') return [there(draw(TURN_S.slow), dial)]
  if (turn === 'past-and-back') {
    const past = dial + Math.sign(dial - from.dial) * draw([0.2, 0.8])
    return [there(quickS, past), there(quickS + 0.2, past), there(quickS + draw([0.6, 1.2]), dial)]
  }
  if (turn === 'stop-between') {
    const midway = from.dial + draw([0.3, 0.7]) * (dial - from.dial)
    const stopS = draw(STOP_S)
    return [there(quickS, midway), there(quickS + stopS, midway), there(2 * quickS + stopS, dial)]
  }
  return [there(quickS, dial)]
}

/** Where the screw is at any time, mm: the drive follows the knob, and coasts once it is let go. */
function followed(
  mill: SimulatedMill,
  knots: readonly Knot[],
  run: { startMm: number; direction: Direction; startS: number; offS: number; factor: number },
) {
  const places: number[] = [run.startMm]
  const follow = -Math.expm1(-STEP_S / mill.rampTimeConstantS)
  const { dragMmPerS2, timeConstantS } = mill.coast
  let speed = 0
  let knot = 0
  for (let i = 1; ; i++) {
    const nowS = run.startS + i * STEP_S
    if (nowS <= run.offS) {
      while (knot < knots.length - 2 && knots[knot + 1]!.atS < nowS) knot++
      const [a, b] = [knots[knot]!, knots[knot + 1]!]
      const share = b.atS > a.atS ? Math.min(1, Math.max(0, (nowS - a.atS) / (b.atS - a.atS))) : 1
      const wanted = (Math.max(0, mill.curve(a.dial + share * (b.dial - a.dial))) * run.factor) / 60
      // The mean speed of the step, so that a knob that stands is followed exactly.
      const after = speed + follow * (wanted - speed)
      places.push(
        places[i - 1]! +
          run.direction * (wanted * STEP_S + (speed - wanted) * mill.rampTimeConstantS * follow),
      )
      speed = after
    } else {
      speed -= STEP_S * (dragMmPerS2 + speed / timeConstantS)
      if (speed <= 0) break
      places.push(places[i - 1]! + run.direction * speed * STEP_S)
    }
  }
  const last = places.length - 1
  const at = (timeS: number): number => {
    const step = Math.max(0, (timeS - run.startS) / STEP_S)
    if (step >= last) return places[last]!
    const below = Math.floor(step)
    return places[below]! + (step - below) * (places[below + 1]! - places[below]!)
  }
  return { at, restS: run.startS + last * STEP_S }
}
