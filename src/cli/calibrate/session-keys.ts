import type { GuidedSession } from '../../jobs/index.js'
import type { PlanStep } from '../../planning/index.js'
import { shortId } from '../../text/index.js'
import { type DialWriting, directionSign, formatDial } from '../../units/index.js'
import { nowIso } from '../context.js'
import { say } from '../terminal/terminal.js'

/**
 * Does what a key asks for between two runs: R leaves the last run out and makes its step again at once, D leaves it out
 * and makes its step again when the others are done, S skips the step.
 *
 * @returns false when the session is to stop
 */
export function applyKey(session: GuidedSession, step: PlanStep, key: string, writing: DialWriting): boolean {
  if (key === 'r' || key === 'd') {
    const dropped = session.dropLast(nowIso())
    if (dropped === null) say('  There is no run yet.')
    else {
      // A plan that is worked out after each run decides by itself whether that setting is wanted again.
      const fixed = session.advice === null
      if (fixed && key === 'd' && dropped.step !== null) session.putOff(dropped.step)
      const again = fixed ? ` Its step comes again ${key === 'r' ? 'now' : 'at the end'}.` : ''
      say(
        `  Left out run ${shortId(dropped.id)}, dial ${formatDial(dropped.dial, writing)} ${directionSign(dropped.direction)}.${again}`,
      )
    }
    return true
  }
  if (key === 's') {
    session.skip(step)
    return true
  }
  return false
}
