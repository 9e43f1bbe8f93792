import type { TableToday } from '../jobs/index.js'
import type { PercentInterval, WorthOfCheck } from '../planning/days/index.js'
import { SESSION_PAUSE_H } from '../store/measuring-session.js'
import { type DialWriting, formatDial } from '../units/index.js'

/** Shift, percent, below which it is as good as none. Derived: a person reads one decimal. */
const NO_SHIFT_PERCENT = 0.05

/** What is said where the settings of a session disagree on its shift. */
const UNEVEN =
  '; these settings differ by more than runs scatter, so that today is less sure at the others: check the one you need'

/**
 * Difference between the shifts at the slowest and the fastest setting that was checked, percent, from which on both are
 * told. Judgement: a check run leaves each of them uncertain by more.
 */
const APART_PERCENT = 0.5

/**
 * How a session feeds against the table, and what tells it: `today 2.1 % slower than the table (…), from one check run at 5`;
 * where slow settings shift otherwise than fast ones, at one of each.
 */
export function shiftSentence(day: Omit<TableToday, 'table'>): string {
  const { session, shift, ends, checkRuns, runs, dials, isUneven } = day
  const kind = checkRuns === runs ? 'check run' : 'run'
  const from = runs === 1 ? `one ${kind}` : `${runs} ${kind}s`
  const at = (dial: number) => `at ${formatDial(dial, day)}`
  const isApart = ends !== null && Math.abs(ends[0].shift.value - ends[1].shift.value) >= APART_PERCENT
  const [first, second] = (isApart ? ends.map((end) => end.shift) : [shift]).map(shiftWords)
  const shifts =
    isApart && second
      ? `${first!.against} ${at(ends[0].dial)} ${first!.within} and ${second.amount} ${at(ends[1].dial)} ${second.within}`
      : `${first!.against} ${first!.within}`
  return `today ${shifts}, from ${from} at ${dials.map((dial) => formatDial(dial, day)).join(', ')} in session ${session}${isUneven ? UNEVEN : ''}`
}

function shiftWords({ value, interval95 }: PercentInterval) {
  const isNone = Math.abs(value) < NO_SHIFT_PERCENT
  const amount = isNone ? 'as fast' : `${Math.abs(value).toFixed(1)} % ${value > 0 ? 'faster' : 'slower'}`
  const [low, high] = interval95.map((end) => `${end > 0 ? '+' : ''}${end.toFixed(1)}`)
  return {
    amount,
    against: `${amount} ${isNone ? 'as' : 'than'} the table`,
    within: `(95 %: ${low} … ${high} %)`,
  }
}

/** That nothing tells of a session. @param named where it was asked for by its name; the present one where left out */
export function noRunSentence(named?: string): string {
  return named === undefined
    ? `no run in this session yet (a pause of ${SESSION_PAUSE_H} hours begins a new one)`
    : `session ${named} has no run that tells of this table`
}

/**
 * What a check run would be worth where nothing tells of the session.
 *
 * @param worth of it at the mark that tells most
 * @param named as in `noRunSentence`
 */
export function checkRunSentence(worth: WorthOfCheck & DialWriting, named?: string): string {
  const percent = 100 * worth.halfWidth
  return `${noRunSentence(named)}: a check run at ${formatDial(worth.dial, worth)} in this direction would narrow that to about ± ${percent.toFixed(percent < 10 ? 1 : 0)} %`
}
