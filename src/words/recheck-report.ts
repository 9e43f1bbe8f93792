import { type Said, sentence, way } from '../errors/index.js'
import type { RecheckReport } from '../jobs/index.js'
import {
  amountAsPercent,
  type DialRange,
  MOST_LOOKS,
  type PercentDifference,
} from '../planning/recheck/index.js'
import { type DialWriting, directionSign, formatDial, NUMBERED, writingOf } from '../units/index.js'
import { finestBecause, finestText } from './recheck-plan.js'

/** The verdict in a sentence, without its full stop. */
export function verdictSentence(report: RecheckReport): string {
  const { outcome, withinPercent } = report
  const allowed = `the ${withinPercent} % you allow`
  switch (outcome.verdict) {
    case 'holds':
      return `The table holds within ${withinPercent} %${rangeWords(outcome.range, writingIn(report))}`
    case 'moved':
      return `The feeds have moved by ${movedBy(report)}, more than ${allowed}`
    case 'undecided':
      return `Not decided yet: the feeds may have changed by less or by more than ${allowed}`
  }
}

/** How the dial of the tables is written. */
function writingIn({ tables: [table] }: Pick<RecheckReport, 'tables'>): DialWriting {
  return table === undefined ? NUMBERED : writingOf(table)
}

/** A part of the dial: " from dial 2 to 9", " at dial 5", or nothing where there is none. */
export function rangeWords(range: DialRange | null, writing: DialWriting): string {
  if (range === null) return ''
  const { from, to } = range
  return from === to
    ? ` at dial ${formatDial(from, writing)}`
    : ` from dial ${formatDial(from, writing)} to ${formatDial(to, writing)}`
}

/**
 * All marks together, what change is shown and what explains it, what was not checked, what to do next, and what to bear
 * in mind; a sentence or two each.
 */
export function recheckSentences(report: RecheckReport): Said[] {
  const { outcome } = report
  return [
    `All marks together: ${signedInterval(outcome.scale)}`,
    ...changeShown(report),
    ...explanation(report),
    ...unchecked(report),
    ...daysBefore(report),
    ...whatNext(report),
    ...outcome.notCompared.map((sentence) => `Not compared: ${sentence}`),
    ...report.conditions.map(
      ({ condition, table, now }) =>
        `Conditions differ: ${condition} was ${list(table)} for the table, is ${list(now)} now.`,
    ),
  ]
}

/** A verdict about one direction says nothing of the table of the other. */
export function notRecheckedSentences({
  notRechecked,
  outcome,
}: Pick<RecheckReport, 'notRechecked' | 'outcome'>): Said[] {
  return notRechecked.map(({ direction, version }) => {
    const sign = directionSign(direction)
    const doubt =
      outcome.verdict === 'moved'
        ? sentence`, but may have changed too${way('recheck-direction', { sign })}`
        : ''
    return sentence`Direction ${sign} was not rechecked; its table ${version} stays in force${doubt}.`
  })
}

/** How far it moved: all feeds together where that is what lies beyond the tolerance, else where it moved furthest. */
function movedBy(report: RecheckReport): string {
  const { outcome, withinPercent } = report
  const { scale, beyond, cause, marks } = outcome
  const isFactor = beyond.scale && (cause === null || cause.cause === 'scale' || cause.cause === null)
  if (isFactor) return beyondPercent(scale.value, withinPercent)
  const shown = marks.filter(({ verdict }) => verdict === 'moved')
  const furthest = [...(shown.length > 0 ? shown : marks)].sort(
    (a, b) => Math.abs(b.percent.value) - Math.abs(a.percent.value),
  )[0]!
  return `${beyondPercent(furthest.percent.value, withinPercent)} at dial ${formatDial(furthest.mark.dial, writingIn(report))}`
}

/** As many decimals, from one to three, as it takes to see that it is more than the tolerance. */
function beyondPercent(value: number, withinPercent: number): string {
  const size = Math.abs(value)
  const digits = [1, 2].find((count) => Number(size.toFixed(count)) > withinPercent) ?? 3
  return `${size.toFixed(digits)} %`
}

function changeShown({ outcome: { changed, verdict }, withinPercent }: RecheckReport): string[] {
  if (!changed || verdict === 'moved') return []
  return verdict === 'holds'
    ? [
        `A change is shown, but it lies within the ${withinPercent} % you allow. So small a change may come and go from day to day (voltage, warmth).`,
      ]
    : [`A change is shown; whether it is more than the ${withinPercent} % you allow is not decided.`]
}

/** The measured parts of the dial that the verdict says nothing of. */
function unchecked(report: RecheckReport): string[] {
  const { range } = report.outcome
  const { tables } = report
  if (range === null) return ['The two directions were checked on different parts of the dial.']
  const dials = tables.flatMap((table) => table.marks.map(({ dial }) => dial))
  const open = [
    ...(Math.min(...dials) < range.from ? [`below dial ${formatDial(range.from, writingIn(report))}`] : []),
    ...(Math.max(...dials) > range.to ? [`above dial ${formatDial(range.to, writingIn(report))}`] : []),
  ]
  return open.length === 0 ? [] : [`Nothing was checked ${open.join(' and ')}.`]
}

/** The change that a new table would be made by, in words. */
export function describeChange({ change }: Pick<RecheckReport, 'change'>): string {
  if (change === null) return 'none'
  if (change.cause === 'scale') return `all feeds ${signedInterval(amountAsPercent(change.amount))}`
  return `knob turned by ${signedDial(change.amount)} of the dial`
}

/** A difference in percent with its 95 % interval. */
export function signedInterval({ value, interval95: [low, high] }: PercentDifference): string {
  return `${signed(value)} % (95 %: ${signed(low)} … ${signed(high)} %)`
}

function explanation(report: RecheckReport): Said[] {
  const { verdict, cause, tellsApart: apart } = report.outcome
  if (cause === null) return []
  const isNamed = cause.cause === 'scale' || cause.cause === 'offset'
  if (verdict !== 'moved' && !isNamed) return []
  const scale = `one factor for all feeds (supply voltage, grease, motor): ${signedInterval(amountAsPercent(cause.logScale))}`
  const offset =
    cause.offset === null ? null : `the knob turned on its shaft: ${signedDial(cause.offset)} of the dial`
  const sure = (name: keyof typeof cause.probability) =>
    `${Math.round(100 * cause.probability[name])} % probable`
  switch (cause.cause) {
    case 'scale':
      return [`What explains it: ${scale}; ${sure('scale')}.`]
    case 'offset':
      return [`What explains it: ${offset}; ${sure('offset')}.`]
    case 'shape':
      return [
        sentence`What explains it: the shape of the dial curve changed; ${sure('shape')}. Calibrate again${way('calibrate')}.`,
      ]
    case null:
      return [
        'These runs do not show what moved:',
        `  ${scale}; ${sure('scale')}`,
        ...(offset === null ? [] : [`  ${offset}; ${sure('offset')}`]),
        `  the shape of the dial curve; ${sure('shape')}`,
        apart === null
          ? sentence`Calibrate again${way('calibrate')}.`
          : `To find out which, make ${apart.runs} runs at dial ${formatDial(apart.dial, writingIn(report))}, setting the dial again for each; then recheck with these runs.`,
      ]
  }
}

/** How the table's day lay among the days before the new runs, where they tell. */
function daysBefore({ outcome: { days } }: RecheckReport): string[] {
  if (days === null || Number(days.shiftPercent.toFixed(2)) === 0) return []
  return [
    `Days before these runs lay ${signed(days.shiftPercent)} % off the table on average; the table is compared at that level.`,
  ]
}

function whatNext(report: RecheckReport): Said[] {
  const { withinPercent, tables } = report
  const { next, days } = report.outcome
  if (next === null) return []
  const often = days === null ? '' : ', on however many days'
  const open = `Until it is decided, reckon that feeds may have changed by as much as ${farthest(report)} %.`
  const finest = `However many new runs are made${often}, they cannot show less than ${finestText(next.finest, writingIn(report))}, ${finestBecause(next.finest)}.`
  if (next.runs.length === 0) {
    return [
      `${MOST_LOOKS} looks did not decide, and another would raise the risk of a false alarm. ${open} ${finest}`,
      sentence`Start over${way('start-over')}, allow a wider tolerance${way('tolerance', { percent: null })}, or calibrate with more runs at each mark${way('calibrate')}.`,
    ]
  }
  const each = tables.length > 1 ? ' in each direction' : ''
  const runs = next.runs
    .map(({ dial, runs }) => `dial ${formatDial(dial, writingIn(report))}: ${runs} more${each}`)
    .join(', ')
  const likely = `${Math.round(100 * next.decides)} %`
  if (!next.worthwhile) {
    return [
      `More runs are not likely to decide within ${withinPercent} % (${runs}: ${likely}). ${open} ${finest}`,
      sentence`Start over${way('start-over')} and allow a wider tolerance${way('tolerance', { percent: null })}, or calibrate with more runs at each mark${way('calibrate')}.`,
    ]
  }
  if (next.onAnotherDay) {
    const more =
      next.days.count > 1
        ? `; with ${next.days.count} such days ${Math.round(100 * next.days.decides)} %`
        : ''
    return [
      'What keeps it open is the day: voltage and warmth move all feeds alike from day to day, and more runs today would not change that.',
      `To decide, make these runs on another day: ${runs}, setting the dial again for each (${likely} likely to be enough${more}). Then recheck with these runs.`,
      open,
    ]
  }
  return [
    `To decide: ${runs}, setting the dial again for each (${likely} likely to be enough). Then recheck with these runs.`,
  ]
}

/** The farther end of the 95 % interval of all marks together, percent, rounded upwards. */
function farthest({ outcome: { scale } }: RecheckReport): string {
  return (Math.ceil(10 * Math.max(...scale.interval95.map(Math.abs))) / 10).toFixed(1)
}

function signedDial({ value, interval95: [low, high] }: PercentDifference): string {
  return `${signed(value)} (95 %: ${signed(low)} … ${signed(high)})`
}

function signed(value: number): string {
  const text = value.toFixed(2)
  if (Number(text) === 0) return '0.00'
  return value > 0 ? `+${text}` : text
}

function list(values: readonly string[]): string {
  return values.length === 0 ? 'not noted' : values.join(' and ')
}
