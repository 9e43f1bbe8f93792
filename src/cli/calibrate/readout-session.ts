import type { GuidedSession } from '../../jobs/index.js'
import type { PlanStep, Procedure } from '../../planning/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { followReadout, onInterrupt } from '../live/follow-readout.js'
import { type Keys, openKeys } from '../terminal/keys.js'
import { canAsk, clearStatus, ringBell, say } from '../terminal/terminal.js'
import { conditionsFrom } from '../traverse/options.js'
import type { CalibrateOptions } from './options.js'
import { applyKey } from './session-keys.js'
import { announceStep, tellResult } from './step-text.js'

/** What a session works on. */
export interface SessionContext {
  readonly store: Store
  readonly target: MachineAxis
  readonly options: CalibrateOptions
}

/**
 * Follows the readout through all steps. No key is needed: the table is seen to start, travel and stop. On a terminal
 * R repeats the last run, D drops it, S skips a step, Q stops the session.
 *
 * @returns whether all steps are done
 * @throws DeviceError when the port fails and does not come back; what was recorded is kept
 */
export async function runReadoutSession(
  session: GuidedSession,
  procedure: Procedure,
  { store, target, options }: SessionContext,
): Promise<boolean> {
  let step: PlanStep | null = null
  const { live, ended, end } = await followReadout(store, target, options, (event) => {
    if (event.kind === 'listening' && event.step !== null) {
      step = event.step
      announceStep(session, procedure, step, target)
    }
    if (event.kind === 'stopped') {
      clearStatus()
      ringBell()
    }
    if (event.kind === 'step-settled' || event.kind === 'step-open') tellResult(event.result, target)
  })
  const keys = canAsk() ? openKeys() : null
  if (keys !== null)
    say('R repeats the last run · D leaves it out · S skips a step · Q stops (what is done is kept).')
  const work = { kind: 'steps', session, procedure, conditions: conditionsFrom(options) } as const
  void forwardKeys(keys, (key) => {
    if (step === null || !applyKey(session, step, key, target.axis)) end(null)
    else live.arm(work)
  })
  const stopListening = onInterrupt(() => end(null))
  try {
    live.arm(work)
    await ended
    clearStatus()
  } finally {
    stopListening()
    keys?.close()
    await live.close()
  }
  const failure = await ended
  if (failure !== null) throw failure
  return session.isComplete
}

const SESSION_KEYS: Readonly<Record<string, string>> = { r: 'r', d: 'd', s: 's', q: 'q', interrupt: 'q' }

async function forwardKeys(keys: Keys | null, receive: (key: string) => void): Promise<void> {
  while (keys !== null) {
    const known = SESSION_KEYS[(await keys.next()).key]
    if (known !== undefined) receive(known)
  }
}
