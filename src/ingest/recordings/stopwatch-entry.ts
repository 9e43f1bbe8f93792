import { DataError } from '../../errors/index.js'

/** One traverse timed by hand over a known distance. */
export interface StopwatchEntry {
  /** The number on the dial, or `rapid` for the rapid traverse. */
  readonly dial: number | 'rapid'
  /** +1 towards larger positions, -1 towards smaller ones. */
  readonly direction: 1 | -1
  /** Distance between the two marks, mm, always positive. */
  readonly distanceMm: number
  /** Time between the two presses, s, always positive. */
  readonly durationS: number
  /** What the user noted beside it, or an empty text. */
  readonly note: string
}

/**
 * Checks that an entry can be a traverse: finite dial, positive finite distance and time.
 *
 * @param where names the entry in the error, for example `session.csv, row 3` or `--distance`
 * @throws DataError `bad-stopwatch-entry`
 */
export function checkStopwatchEntry(entry: StopwatchEntry, where: string): StopwatchEntry {
  if (entry.dial !== 'rapid' && !Number.isFinite(entry.dial)) {
    throw refuse(where, `the dial ${entry.dial} is not a number`, 'Give the number on the dial, or rapid.')
  }
  if (!(entry.distanceMm > 0) || !Number.isFinite(entry.distanceMm)) {
    throw refuse(
      where,
      `the distance ${entry.distanceMm} mm is not above zero`,
      'Give the distance as a positive length; the direction is + or -.',
    )
  }
  if (!(entry.durationS > 0) || !Number.isFinite(entry.durationS)) {
    throw refuse(
      where,
      `the time ${entry.durationS} s is not above zero`,
      'Give the time in seconds, such as 28.4.',
    )
  }
  return entry
}

/**
 * Reads `+` or `-` as a direction, or the words for them, which a spreadsheet leaves alone.
 *
 * @throws DataError `bad-direction`
 */
export function parseDirection(text: string, where: string): 1 | -1 {
  // An apostrophe before a sign tells a spreadsheet that it begins no formula.
  const plain = text.trim().replace(/^'/, '').toLowerCase()
  if (plain === '+' || plain === 'plus') return 1
  // Spreadsheets turn a hyphen into the typographic minus sign.
  if (plain === '-' || plain === '\u2212' || plain === 'minus') return -1
  throw new DataError(
    'bad-direction',
    `${where}: "${text}" is not a direction.`,
    'Write + towards larger positions and - towards smaller ones.',
  )
}

function refuse(where: string, what: string, hint: string): DataError {
  return new DataError('bad-stopwatch-entry', `${where}: ${what}.`, hint)
}
