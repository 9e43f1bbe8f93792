import type { RunEvidence } from '../../regression/index.js'
import type { Direction } from '../../traverse/index.js'
import { MOST_AT_SETTING } from '../advice/most-at-setting.js'
import { lenderAmong, lentAt, planRunAt, worthTurningTo } from './borrowing.js'
import { Narrowing } from './narrowing.js'
import type { Because, OutOfReach, Setting, TableQuestion } from './next-for-table.js'
import { enoughAt, halfWidthOf, type KnownPlace, type Wish } from './places.js'
import { settableDials } from './settings.js'

/** What is known of one direction. */
export interface KnownSide {
  readonly direction: Direction
  readonly places: readonly KnownPlace[]
  /** Measured dials, rising. */
  readonly marks: readonly number[]
  /** Whether the dial has a curve between its marks. */
  readonly continuous: boolean
}

/** The runs that are likely to be made, in order, and what they do not bring within reach. */
interface RunPlan {
  readonly steps: readonly (Setting & { readonly because: Because })[]
  readonly outOfReach: readonly OutOfReach[]
}

/** Runs for one table that are planned at most. Judgement: nobody makes more. */
const MOST_FOR_TABLE = 200

/**
 * Share of the gain of the best setting from which on a mark is asked for instead of a half mark. Judgement: a
 * mark is set more surely.
 */
const HARDLY_MORE = 0.9

/**
 * Share that a run must take off the variance of a place between two marks to be worth making. Measured by `npm run
 * proof:shop`: where a kink makes the band wide, a smaller share asks for ever more of the same settings. At a mark
 * `MOST_AT_SETTING` is the end.
 */
const LEAST_GAIN = 0.08

/** Plans runs until every place is expected to be good enough, each where it narrows the worst place most. */
export function planRuns(sides: readonly KnownSide[], question: TableQuestion): RunPlan {
  const planned = sides.map((side) => plannedSide(side, question))
  const steps: (RunPlan['steps'][number] & { readonly worst: Place })[] = []
  const lost = new Map<Place, OutOfReach>()
  while (steps.length < MOST_FOR_TABLE) {
    const worst = worstPlace(planned, lost, question)
    if (worst === null) break
    const { place } = worst
    const { side, choice } = choiceOf(planned, worst)
    const tooMany = choice !== null && (side.made.get(choice.dial) ?? 0) >= MOST_AT_SETTING
    if (choice === null || tooMany) {
      lost.set(place, outOfReach(worst.side, place, tooMany ? 'scatter' : 'between-settings'))
      continue
    }
    planRunAt(planned, side, choice.dial)
    const { dial, because } = choice
    steps.push({ dial, direction: side.known.direction, because, worst: place })
  }
  return {
    // What was planned for a place that so many runs do not bring within reach would be made in vain.
    steps: steps
      .filter(({ worst }) => lost.get(worst)?.why !== 'scatter')
      .map(({ dial, direction, because }) => ({ dial, direction, because })),
    outOfReach: foreseenOutOfReach(lost, planned, steps),
  }
}

export type Place = Narrowing['places'][number]

/** A setting to measure. */
interface Choice {
  readonly dial: number
  readonly because: Because
}

export interface PlannedSide {
  readonly known: KnownSide
  readonly narrowing: Narrowing
  readonly settable: readonly number[]
  /** Runs made and planned at each dial. */
  readonly made: Map<number, number>
}

export function plannedSide(known: KnownSide, { axis, runs, without = [] }: TableQuestion): PlannedSide {
  const isLeftOut = (dial: number) =>
    without.some((other) => other.dial === dial && other.direction === known.direction)
  return {
    known,
    narrowing: new Narrowing(known.places, known.marks, known.continuous),
    settable: settableDials(axis, known.marks).filter((dial) => !isLeftOut(dial)),
    made: runsByDial(runs, known.direction),
  }
}

function runsByDial(runs: readonly RunEvidence[], direction: Direction): Map<number, number> {
  const made = new Map<number, number>()
  for (const run of runs) {
    if (run.direction === direction) made.set(run.dial, (made.get(run.dial) ?? 0) + 1)
  }
  return made
}

/** The place that is farthest from good enough; null where all are, but for those out of reach. */
function worstPlace(
  sides: readonly PlannedSide[],
  lost: ReadonlyMap<Place, OutOfReach>,
  wish: Wish,
): { readonly side: PlannedSide; readonly place: Place } | null {
  let most = 1
  let worst: { readonly side: PlannedSide; readonly place: Place } | null = null
  for (const side of sides) {
    for (const place of side.narrowing.places) {
      const excess = excessAt(place, wish)
      if (excess <= most || lost.has(place)) continue
      most = excess
      worst = { side, place }
    }
  }
  return worst
}

function excessAt(place: Place, wish: Wish): number {
  const { settingDeviation } = place
  const known = { meanDeviation: Math.sqrt(place.meanVariance), settingDeviation }
  return halfWidthOf(known) / enoughAt(known, wish)
}

/**
 * Where a run narrows a place most. A place of a direction that borrows is also narrowed by what the other direction
 * measures there. Where neither gains, the direction has to show its own shape.
 */
function choiceOf(
  sides: readonly PlannedSide[],
  { side, place }: { readonly side: PlannedSide; readonly place: Place },
): { readonly side: PlannedSide; readonly choice: Choice | null } {
  const own = bestChoice({ ...side, settable: worthTurningTo(sides, side) }, place)
  const lender = lenderAmong(sides, side)
  if (lender === null) return { side, choice: own }
  const lent = lentAt(lender, place)
  const there = bestChoice(lender, lent)
  const through = there === null ? 0 : lender.narrowing.gain(lent, there.dial)
  const alone = own === null ? 0 : side.narrowing.gain(place, own.dial)
  if (there !== null && through > LEAST_GAIN * place.meanVariance && through >= alone) {
    return { side: lender, choice: { ...there, because: 'lends-shape' } }
  }
  return { side, choice: own ?? bestChoice(side, place) }
}

/** The setting whose run takes most off the variance of a place; null where none is worth a run. */
export function bestChoice({ narrowing, settable }: PlannedSide, place: Place): Choice | null {
  const [from, to] = narrowing.gapOf(place.dial)
  const choices = settable
    .filter((dial) => dial >= from && dial <= to)
    .map((dial) => ({ dial, gain: narrowing.gain(place, dial) }))
    .filter(({ gain }) => gain > (from === to ? 0 : LEAST_GAIN) * place.meanVariance)
    .sort((a, b) => b.gain - a.gain)
  const best = choices[0]
  if (best === undefined) return null
  const isMeasured = ({ dial }: { readonly dial: number }) => dial === from || dial === to
  const measured = choices.find(isMeasured)
  const chosen = measured !== undefined && measured.gain >= HARDLY_MORE * best.gain ? measured : best
  return { dial: chosen.dial, because: isMeasured(chosen) ? 'widest' : 'between-marks' }
}

export function outOfReach(
  { known, narrowing }: PlannedSide,
  place: Place,
  why: OutOfReach['why'],
): OutOfReach {
  const [from, to] = narrowing.gapOf(place.dial)
  const percent = 100 * halfWidthOf({ meanDeviation: Math.sqrt(place.meanVariance) })
  return { direction: known.direction, from, to, percent, why }
}

/**
 * The places that are out of reach whatever the plan finds, one for each gap. What it measures between two marks for the first
 * time shows what the curve does there, and may bring within reach what looks lost before.
 */
export function foreseenOutOfReach(
  lost: ReadonlyMap<Place, OutOfReach>,
  sides: readonly PlannedSide[],
  planned: readonly Setting[],
): OutOfReach[] {
  const isStillOpen = (place: Place, direction: Direction) => {
    const side = sides.find(({ known }) => known.direction === direction)!
    const telling = [side, lenderAmong(sides, side)].map((one) => one?.known.direction)
    const isInGap = (dial: number) =>
      side.known.marks.every((mark) => (mark - dial) * (mark - place.dial) > 0)
    return planned.some((one) => telling.includes(one.direction) && isInGap(one.dial))
  }
  const foreseen = [...lost].filter(
    ([place, { why, direction }]) => why === 'scatter' || !isStillOpen(place, direction),
  )
  return onceAGap(foreseen.map(([, one]) => one))
}

/** Of the places of one gap the worst stands for all. */
function onceAGap(all: readonly OutOfReach[]): OutOfReach[] {
  const isSameGap = (one: OutOfReach, other: OutOfReach) =>
    one.direction === other.direction && one.from === other.from && one.to === other.to
  return all.filter(
    (one, k) =>
      !all.some(
        (other, l) =>
          isSameGap(one, other) && (other.percent > one.percent || (other.percent === one.percent && l < k)),
      ),
  )
}
