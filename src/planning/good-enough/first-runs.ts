import { MARKS_TO_LEND, REPEATS_FOR_SHAPE } from '../../regression/index.js'
import type { Direction } from '../../traverse/index.js'
import { MOST_AT_SETTING } from '../advice/most-at-setting.js'
import { settingDeviation, usualScatter } from './expected-table.js'
import type { NextForTable, Setting, TableQuestion } from './next-for-table.js'
import { enoughAt, halfWidthOf } from './places.js'
import { firstSettings } from './settings.js'

/** Settings that the second direction begins with. Judgement: both ends of the dial and two between. */
const SETTINGS_OF_SECOND = 4

/** Gaps between settings that are likely to want a mark of their own, share of them. Measured by `npm run proof:within`. */
const GAPS_THAT_WANT_A_MARK = 0.5

/** The runs before a table can be planned. */
interface FirstRuns extends Pick<NextForTable, 'next' | 'likely'> {
  /** Settings without a run. */
  readonly missing: readonly Setting[]
  /** Settings to be repeated. */
  readonly repeats: readonly Setting[]
}

/**
 * The runs before a table can be planned by what is known of it: every setting once, then some of them again to learn
 * how far runs scatter. `next` is null where they are all made.
 *
 * @param repeatsWanted degrees of freedom that the scatter is to be known by; no more than half as many as the first pass
 *   has settings, where these show a shape
 */
export function firstRuns(question: TableQuestion, repeatsWanted: number): FirstRuns {
  const missing = firstPass(question)
  const repeats = repeatsForScatter(question, missing, repeatsWanted)
  const first = missing[0] ?? repeats[0]
  if (first === undefined) return { next: null, likely: [], missing, repeats }
  return {
    missing,
    repeats,
    next: { ...first, because: missing.length > 0 ? 'not-measured' : 'never-repeated' },
    likely: [...missing, ...repeats, ...laterRuns(question)],
  }
}

/** Settings of the first pass without a run, up the dial, every direction in turn at each. */
function firstPass(question: TableQuestion): Setting[] {
  const { runs, without = [] } = question
  const has = (some: readonly Setting[], one: Setting) =>
    some.some((other) => other.dial === one.dial && other.direction === one.direction)
  return firstPassOf(question).filter((setting) => !has(runs, setting) && !has(without, setting))
}

/**
 * The whole first pass. A second direction is measured at a few settings, because its curve borrows the shape of the
 * first; where steps have no curve there is none to borrow. The first one is that with most settings measured so far.
 */
function firstPassOf({ axis, directions, runs }: TableQuestion): Setting[] {
  const settings = firstSettings(axis)
  const measured = (direction: Direction) =>
    settings.filter((dial) => runs.some((run) => run.dial === dial && run.direction === direction)).length
  const first = directions.reduce((most, one) => (measured(one) > measured(most) ? one : most))
  const few =
    axis.stepped || settings.length < MARKS_TO_LEND ? settings : spread(settings, SETTINGS_OF_SECOND)
  return settings.flatMap((dial) =>
    directions
      .filter((direction) => direction === first || few.includes(dial))
      .map((direction) => ({ dial, direction })),
  )
}

/** So many settings spread over all, both ends among them. */
function spread(settings: readonly number[], count: number): number[] {
  return Array.from(
    { length: count },
    (_, i) => settings[Math.round((i * (settings.length - 1)) / (count - 1))]!,
  )
}

/**
 * Settings to repeat until the scatter can be told: always the one farthest along the dial from those repeated, the
 * fastest number first, so that steep and flat parts of the dial are both seen.
 */
function repeatsForScatter(
  question: TableQuestion,
  missing: readonly Setting[],
  repeatsWanted: number,
): Setting[] {
  const { axis, directions, runs, fitted, without = [] } = question
  const count = (setting: Setting) =>
    runs.filter((run) => run.dial === setting.dial && run.direction === setting.direction).length
  const own = [...runs.filter((run) => directions.includes(run.direction)), ...missing]
  const settings = [
    ...new Map(own.map(({ dial, direction }) => [`${dial}/${direction}`, { dial, direction }])).values(),
  ]
    .filter((one) => !without.some((other) => other.dial === one.dial && other.direction === one.direction))
    .sort((a, b) => b.dial - a.dial || b.direction - a.direction)
  const repeated = settings.filter((setting) => count(setting) > 1)
  const ofPass = Math.floor(firstPassOf(question).length / 2)
  const inAll = Math.max(REPEATS_FOR_SHAPE, Math.min(repeatsWanted, ofPass))
  let wanted = inAll - (fitted?.noise?.degreesOfFreedom ?? 0)
  const steps: Setting[] = []
  const span = axis.dialMax - axis.dialMin || 1
  while (wanted > 0 && settings.length > 0) {
    const distance = (one: Setting) =>
      Math.min(
        span,
        ...repeated.map(
          (other) => Math.abs(one.dial - other.dial) + (one.direction === other.direction ? 0 : 0.25 * span),
        ),
      )
    const open = settings.filter((one) => !repeated.includes(one))
    const from = open.length > 0 ? open : settings
    const best = from.reduce((most, one) => (distance(one) > distance(most) ? one : most))
    steps.push(best)
    repeated.push(best)
    wanted -= 1
  }
  return steps
}

/** What is likely to come after the first runs, by the scatter of a usual machine with an even dial. */
function laterRuns(question: TableQuestion): Setting[] {
  const { axis } = question
  const first = firstPassOf(question)
  const scatter = usualScatter(axis)
  const repeats = first.flatMap(({ dial, direction }) => {
    const deviation = settingDeviation(axis, dial, scatter)
    const isEnough = (runs: number) => {
      const known = { meanDeviation: deviation / Math.sqrt(runs), settingDeviation: deviation }
      return halfWidthOf(known) <= enoughAt(known, question)
    }
    let runs = 1
    while (runs < MOST_AT_SETTING && !isEnough(runs)) runs += 1
    return new Array<Setting>(runs - 1).fill({ dial, direction })
  })
  const between = axis.stepped ? [] : first.filter((_, i) => i % Math.round(1 / GAPS_THAT_WANT_A_MARK) === 1)
  return [...repeats, ...between]
}
