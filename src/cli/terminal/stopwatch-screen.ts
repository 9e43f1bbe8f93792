import { monotonicS, StopwatchTimer, type Timing } from '../../ingest/index.js'
import type { Keys } from './keys.js'
import { say, showStatus } from './terminal.js'

/** How a timing on the keyboard ended. */
type TimingOutcome =
  | { readonly kind: 'timed'; readonly timing: Timing }
  | { readonly kind: 'key'; readonly key: string }

/** The time is shown anew this often, ms. Judgement: its last digit is a tenth of a second. */
const REFRESH_MS = 100

/**
 * Times one traverse on the keyboard: space starts and stops, M notes a mark on the way, U takes the last press
 * back, Enter accepts after the stop. Any other key of `otherKeys` ends the timing and is handed back.
 */
export async function timeOnKeyboard(keys: Keys, otherKeys: readonly string[]): Promise<TimingOutcome> {
  const timer = new StopwatchTimer()
  const refresh = setInterval(() => showStatus(statusLine(timer)), REFRESH_MS)
  showStatus(statusLine(timer))
  try {
    for (;;) {
      const { key, timeS } = await keys.next()
      if (key === 'interrupt' || otherKeys.includes(key)) return { kind: 'key', key }
      const timing = timer.timing()
      if (key === 'enter' && timing !== null) return { kind: 'timed', timing }
      if (key === 'space') timer.press(timeS)
      if (key === 'm') timer.mark(timeS)
      if (key === 'u') {
        const undone = timer.undo()
        if (undone !== null) say(`  taken back: the ${undone.kind} press`)
      }
      showStatus(statusLine(timer))
    }
  } finally {
    clearInterval(refresh)
  }
}

function statusLine(timer: StopwatchTimer): string {
  const start = timer.presses[0]
  if (start === undefined) return '  SPACE when the table passes the first mark'
  const marks = timer.presses.filter((press) => press.kind === 'mark').length
  const noted = marks === 0 ? '' : `, ${marks} on the way`
  const timing = timer.timing()
  if (timing === null) {
    return `  ${(monotonicS() - start.timeS).toFixed(1)} s${noted}   SPACE at the last mark · M on the way · U takes back`
  }
  return `  ${timing.durationS.toFixed(2)} s${noted}   ENTER keeps it · U takes the stop back`
}
