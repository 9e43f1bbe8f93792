import type { Recording } from './measurement-types.js'

/** A recording as far as sessions go. */
export type InSession = Pick<Recording, 'sessionName' | 'startedAt'>

/**
 * A pause this long begins a new measuring session, h: the drive is cold again, and the line may have changed. Longer
 * than a meal, shorter than a night. Common practice, no source.
 */
export const SESSION_PAUSE_H = 6

/** Milliseconds of an hour (by definition). */
const MS_AN_HOUR = 3_600_000

/** Names by date: the date, and a number from the second session of that date on. */
const BY_DATE = /^\d{4}-\d{2}-\d{2}( \(\d+\))?$/

/** The date of a time as this computer's clock on the wall shows it, `2026-03-02`. */
export function dateOf(iso: string): string {
  const at = new Date(iso)
  const two = (part: number) => String(part).padStart(2, '0')
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`
}

/** Where nobody names the session of a recording begun at this time: see `Recordings.sessionAt`. */
export function sessionByDate(earlier: readonly InSession[], startedAt: string): string {
  const byDate = earlier.filter(({ sessionName }) => BY_DATE.test(sessionName))
  const last = latest(byDate, startedAt)
  if (last !== undefined && hoursBetween(last.startedAt, startedAt) <= SESSION_PAUSE_H)
    return last.sessionName
  const date = dateOf(startedAt)
  const ofDate = new Set(byDate.map(({ sessionName }) => sessionName).filter((name) => name.startsWith(date)))
  return ofDate.size === 0 ? date : `${date} (${ofDate.size + 1})`
}

/**
 * The session that somebody works in at this time, named or not: that of the latest recording, unless it was made too
 * long before; null where nothing was recorded since.
 */
export function presentSession(recordings: readonly InSession[], nowIso: string): string | null {
  const last = latest(recordings, nowIso)
  if (last === undefined || hoursBetween(last.startedAt, nowIso) > SESSION_PAUSE_H) return null
  return last.sessionName
}

/**
 * The latest of those that a session at this time could go on with. One made later by more than a pause is of a clock that
 * was wrong then, or of another day, and must not hide those of now.
 */
function latest(recordings: readonly InSession[], atIso: string): InSession | undefined {
  const before = latestStart(atIso)
  return recordings.reduce<InSession | undefined>(
    (last, one) =>
      one.startedAt > before || (last !== undefined && one.startedAt < last.startedAt) ? last : one,
    undefined,
  )
}

/** The latest start that a recording of the session at this time can have. */
export function latestStart(atIso: string): string {
  return new Date(Date.parse(atIso) + SESSION_PAUSE_H * MS_AN_HOUR).toISOString()
}

function hoursBetween(before: string, after: string): number {
  return Math.abs(Date.parse(after) - Date.parse(before)) / MS_AN_HOUR
}
