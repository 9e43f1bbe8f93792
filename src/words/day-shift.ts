import type { TableToday } from '../jobs/index.js'
import type { WorthOfCheck } from '../planning/days/index.js'
import { SESSION_PAUSE_H } from '../store/measuring-session.js'
import { type DialWriting, formatDial } from '../units/index.js'

/** Shift, percent, below which it is as good as none. Derived: a person reads one decimal. */
const NO_SHIFT_PERCENT = 0.05

/** What is said where the settings of a session disagree on its shift. */
const UNEVEN =
  '; these settings differ by more than runs scatter, so that today is less sure at the others: check the one you need'

/** How a session feeds against the table, and what tells it: `today 2.1 % slower than the table (…), from one check run at 5`. */
export function shiftSentence(day: Omit<TableToday, 'table'>): string {
  const { session, shift, checkRuns, runs, dials, isUneven } = day
  const { value, interval95 } = shift
  const against =
    Math.abs(value) < NO_SHIFT_PERCENT
      ? 'as fast as the table'
      : `${Math.abs(value).toFixed(1)} % ${value > 0 ? 'faster' : 'slower'} than the table`
  const kind = checkRuns === runs ? 'check run' : 'run'
  const from = runs === 1 ? `one ${kind}` : `${runs} ${kind}s`
  const [low, high] = interval95.map((end) => `${end > 0 ? '+' : ''}${end.toFixed(1)}`)
  return `today ${against} (95 %: ${low} … ${high} %), from ${from} at ${dials.map((dial) => formatDial(dial, day)).join(', ')} in session ${session}${isUneven ? UNEVEN : ''}`
}

/** What a check run would be worth where nothing tells of the session. @param worth of it at the mark that tells most */
export function checkRunSentence(worth: WorthOfCheck & DialWriting): string {
  const percent = 100 * worth.halfWidth
  return `no run in this session yet (a pause of ${SESSION_PAUSE_H} hours begins a new one): a check run at ${formatDial(worth.dial, worth)} would narrow that to about ± ${percent.toFixed(percent < 10 ? 1 : 0)} %`
}
