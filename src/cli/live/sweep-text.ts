import type { SweepCue } from '../../jobs/index.js'
import type { Axis } from '../../store/index.js'
import { directionSign, feedUnit, formatDial, formatFeed } from '../../units/index.js'
import { clearStatus, paint, ringBell, say } from '../terminal/terminal.js'

/** Blank lines and bold capitals set a cue apart, so that it is read from the machine; the bell says to look. */
export function tellCue(cue: SweepCue, axis: Pick<Axis, 'unit' | 'lettered'>): void {
  clearStatus()
  if (cue.cue === 'start') {
    const way = cue.direction === null ? '' : ` in direction ${directionSign(cue.direction)}`
    say('')
    say(loud(`SET ${formatDial(cue.dial, axis)}`))
    say(
      `Bring the table to the end of its travel, then start the feed${way}. Leave it running; turn the knob when asked.`,
    )
    return
  }
  ringBell()
  if (cue.cue === 'turn') {
    say(paint('green', `  ✓ ${formatFeed(cue.knownMmPerMin, null, axis.unit)} ${feedUnit(axis.unit)}`))
    say(loud(`TURN TO ${formatDial(cue.dial, axis)}`))
  } else if (cue.cue === 'no-change') {
    say(`No change of speed shows yet: turn to ${formatDial(cue.dial, axis)}, or stop the feed.`)
  } else {
    const why = cue.because === 'all-known' ? 'All settings are known.' : 'The travel ends here.'
    say(loud('STOP'))
    say(`${why} Stop the feed and let the table rest.`)
  }
}

function loud(text: string): string {
  return paint('bold', `\n  >>>  ${text}  <<<\n`)
}
