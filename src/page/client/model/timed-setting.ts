import type { Axis } from '../../../store/index.js'
import type { Direction } from '../../../traverse/index.js'
import { formatDial, fromMm, type LengthUnit } from '../../../units/index.js'
import type { SessionState } from '../../api.js'
import type { Typed } from './typed.js'

/** What a timing is for. It is settled at the first press: whatever the page shows later, the timing stays with it. */
export interface TimedSetting {
  readonly axisId: number
  /** As typed, or the mark of the step. */
  readonly dial: string
  readonly direction: Direction
  readonly distance: Typed
  /** Distance from line to line of the presses on the way; empty where none are to count. */
  readonly every?: Typed
  /** The step of the session that it is made for; null for a run of its own. */
  readonly step: { readonly sessionId: number; readonly step: number } | null
  /** Set for a check run: it teaches how the machine feeds today, and no mark. */
  readonly check?: boolean
}

/** What a person set on this device; in a session dial and direction are those of the step. */
export interface Draft {
  readonly dial: string
  readonly direction: Direction
  /** Null as long as none was typed: then the plan's holds. */
  readonly distance: Typed | null
  readonly every?: Typed
}

/** Nothing typed yet (by definition). */
export const EMPTY_DRAFT: Draft = { dial: '', direction: 1, distance: null }

/** What would be timed now. */
export function settingNow(
  axis: Pick<Axis, 'id' | 'lettered'>,
  session: Pick<SessionState, 'id' | 'next'> | null,
  draft: Draft,
  unit: LengthUnit,
): TimedSetting {
  const next = session?.next ?? null
  const { dial, direction, distance } = draft
  const every = draft.every === undefined ? {} : { every: draft.every }
  if (session === null || next === null) {
    return {
      axisId: axis.id,
      dial,
      direction,
      distance: distance ?? { text: '', unit },
      ...every,
      step: null,
    }
  }
  return {
    axisId: axis.id,
    dial: formatDial(next.dial, axis),
    direction: next.direction,
    distance: distance ?? planned(next.timedDistanceMm, unit),
    ...every,
    step: { sessionId: session.id, step: next.step },
  }
}

/** A distance of the plan as it would be typed. */
export function planned(distanceMm: number, unit: LengthUnit): Typed {
  return { text: String(Number(fromMm(distanceMm, unit).toFixed(3))), unit }
}
