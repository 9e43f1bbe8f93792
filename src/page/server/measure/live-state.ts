import { TablepaceError } from '../../../errors/index.js'
import type { ReadoutLoss } from '../../../ingest/index.js'
import type { LiveEvent } from '../../../jobs/index.js'
import { otherAxisText } from '../../../words/index.js'
import type { LiveState } from '../../api.js'
import { onPage } from '../../wording.js'

export const NO_READOUT: LiveState = {
  status: 'closed',
  axisId: null,
  port: null,
  dial: null,
  direction: null,
  inSession: false,
  sweep: null,
  silent: false,
  trouble: null,
  conclusions: [],
  unitIsOpen: false,
}

const NOT_RECORDING = { dial: null, direction: null, inSession: false } as const

/** What changes of the shown state with what happens in a live session; null where nothing does. */
export function stateChange(event: LiveEvent, state: LiveState): Partial<LiveState> | null {
  switch (event.kind) {
    case 'conclusions':
      return { conclusions: event.sentences }
    case 'sample':
      return state.silent ? { silent: false } : null
    case 'other-axis':
      return { trouble: onPage(otherAxisText(event.other, event.axis)) }
    case 'silent':
      return { silent: true }
    case 'listening':
      return { status: 'armed', dial: event.dial, direction: null, inSession: event.step !== null }
    case 'moving':
      // The table may also move while nothing is recorded.
      if (state.status !== 'armed' && state.status !== 'moving') return null
      return { status: 'moving', direction: event.direction, trouble: null }
    case 'judged':
    case 'step-settled':
    case 'step-open':
      return NOT_RECORDING
    case 'done':
      return { status: 'watching' }
    case 'lost':
      return {
        ...NOT_RECORDING,
        status: 'away',
        silent: false,
        trouble: `${lossText(event.loss)}${state.status === 'moving' ? ' The traverse in progress does not count; repeat it.' : ''}`,
      }
    case 'back':
      return {
        status: 'watching',
        // Whether a traverse was lost with it was told when it went.
        trouble: 'The readout is back.',
      }
    case 'failed':
      return {
        ...NOT_RECORDING,
        status: state.status === 'away' ? 'away' : 'watching',
        trouble: troubleText(event.error),
      }
    case 'closed':
      return { ...NO_READOUT, trouble: event.error === null ? null : troubleText(event.error) }
    case 'sweep':
      // What the knob is turned to now is what the figures belong to.
      return event.cue === 'turn' ? { dial: event.dial } : {}
    case 'stopped':
      return null
  }
}

/** An error as one sentence with the way out. */
export function troubleText(error: unknown): string {
  return error instanceof TablepaceError ? onPage(error.inFull) : String(error)
}

function lossText(loss: ReadoutLoss): string {
  return loss.kind === 'port'
    ? `${loss.error.message} Waiting up to ${Math.round(loss.waitS)} s for it to come back.`
    : `This computer stood still for ${loss.stoodS.toFixed(1)} s, so the arrival times are lost.`
}
