import type { TableToday } from '../jobs/index.js'
import { SESSION_PAUSE_H } from '../store/measuring-session.js'
import { formatDial } from '../units/index.js'

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

/** What a check run would be worth where nothing tells of the session. @param halfWidth of the next setting then, relative */
export function checkRunSentence(halfWidth: number): string {
  const percent = 100 * halfWidth
  return `no run in this session yet (a pause of ${SESSION_PAUSE_H} hours begins a new one): a check run would narrow that to about ± ${percent.toFixed(percent < 10 ? 1 : 0)} %`
}
