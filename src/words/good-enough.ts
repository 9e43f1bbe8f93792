import type { ExpectedSession, TableAdvice, TableStanding } from '../jobs/index.js'
import { countOf } from '../text/index.js'
import { type DialWriting, directionSign, formatDial } from '../units/index.js'

/** Where the next run is made, and why there. */
export function nextRunText(
  { dial, direction, because }: NonNullable<TableAdvice['next']>,
  writing: DialWriting,
): string {
  return `The next run is at dial ${formatDial(dial, writing)} in direction ${directionSign(direction)}: ${REASONS[because]}.`
}

const REASONS = {
  'not-measured': 'it has not been measured yet',
  'never-repeated': 'a second run there tells how far runs scatter',
  widest: 'it narrows the worst place most',
  'between-marks': 'the curve is least certain between these marks',
  'lends-shape': 'the other direction borrows the shape of this one, so it narrows the worst place of both',
} as const

/** How far the table is from good enough, and how long it is likely to take. */
export function standText(advice: TableStanding): string {
  const { goodEnough, reached, worst, next, runs, minutes } = advice
  const wish = `± ${goodEnough.withinPercent} %`
  const at =
    worst === null
      ? ''
      : ` The worst place is dial ${formatDial(worst.dial, advice)} in direction ${directionSign(worst.direction)}: known to ± ${shortPercent(worst.percent)} %, good enough at ± ${shortPercent(worst.enoughPercent)} %.`
  if (reached) return `The table is good enough at ${wish}: no more runs are needed.${at}`
  if (next === null) return `No more runs are worth making for ${wish}.${at}`
  return `For ${wish} everywhere it is likely to take ${countOf(runs, 'more run')}, about ${countOf(minutes, 'minute')}.${at}`
}

/** Why a run is asked for. */
export function whyHereText({ because }: NonNullable<TableAdvice['next']>): string {
  return `Why here: ${REASONS[because]}.`
}

/** The same, and which place is the worst so far. */
export function whyText(advice: TableAdvice): string {
  const { next, worst } = advice
  const why = next === null ? '' : whyHereText(next)
  if (worst === null || next?.because === 'not-measured') return why
  return `${why} The worst place is dial ${formatDial(worst.dial, advice)} ${directionSign(worst.direction)}, known to ± ${shortPercent(worst.percent)} %; ± ${shortPercent(worst.enoughPercent)} % is good enough.`
}

/** What no run can bring within what is wanted, and why. */
export function outOfReachText(
  { direction, from, to, percent: half, why }: TableAdvice['outOfReach'][number],
  writing: DialWriting,
): string {
  const [low, high] = [formatDial(from, writing), formatDial(to, writing)]
  const where = from === to ? `At dial ${low}` : `Between dial ${low} and ${high}`
  const reason =
    why === 'between-settings'
      ? 'runs at the marks and half marks around it hardly narrow it any more'
      : 'runs scatter too much there for any number that a person makes'
  return `${where}, direction ${directionSign(direction)}, it cannot be reached and stays at about ± ${shortPercent(half)} %: ${reason}.`
}

/** Places named one by one before they are only counted. Judgement: what is read at a glance between two runs. */
const MOST_NAMED = 3

/** The same for all such places: the widest first, and how many more there are. */
export function outOfReachTexts(outOfReach: TableAdvice['outOfReach'], writing: DialWriting): string[] {
  const widest = [...outOfReach].sort((a, b) => b.percent - a.percent)
  const named = widest.length > MOST_NAMED + 1 ? widest.slice(0, MOST_NAMED) : widest
  const more = widest.length - named.length
  return [
    ...named.map((one) => outOfReachText(one, writing)),
    ...(more === 0 ? [] : [`${more} more places cannot be reached either.`]),
  ]
}

/** Two figures of a percentage. */
function shortPercent(value: number): string {
  return String(Number(value.toPrecision(2)))
}

/** How well a table is known once it is good enough. */
export function goodEnoughText(withinPercent: number): string {
  return `Every setting is then known to ± ${shortPercent(withinPercent)} %, or to half of what setting the knob scatters.`
}

/** How well a table is likely to be known. */
export function widthText({ fastPercent, slowPercent, from }: ExpectedSession): string {
  const by = from === 'typical' ? 'the scatter of a usual machine' : 'the scatter of the runs so far'
  return `By ${by} the feeds are then known to about ± ${shortPercent(fastPercent)} % at the fast end of the dial and ± ${shortPercent(slowPercent)} % at the slow end.`
}
