import type { TablepaceError } from '../../errors/index.js'
import { openReadout } from '../../ingest/index.js'
import type { Procedure } from '../../planning/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { type GuidedSession, LiveRecorder } from '../../workflow/index.js'
import { nowIso } from '../context.js'
import { type Keys, openKeys } from '../keys.js'
import { LiveDisplay } from '../live-display.js'
import { canAsk, clearStatus, ringBell, say } from '../terminal.js'
import { baudRate, liveSettings, onInterrupt } from '../traverse/from-port.js'
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

/** What ended the wait for a traverse. */
type Ending =
  | { readonly kind: 'stopped' }
  | { readonly kind: 'key'; readonly key: string }
  | { readonly kind: 'failed'; readonly error: TablepaceError | null }

/**
 * Follows the readout through all steps. No key is needed: the table is seen to start, travel and stop. On a terminal
 * R repeats the last run, D drops it, S skips a step, Q stops the session.
 *
 * @returns whether all steps are done
 * @throws DeviceError when the port fails; what was recorded is kept
 */
export async function runReadoutSession(
  session: GuidedSession,
  procedure: Procedure,
  { store, target, options }: SessionContext,
): Promise<boolean> {
  const path = options.port ?? ''
  const settings = await liveSettings(options, target)
  const display = new LiveDisplay(target.machine.unit)
  let end: (ending: Ending) => void = () => {}
  const fail = (error: TablepaceError | null): void => end({ kind: 'failed', error })
  const recorder = new LiveRecorder(
    store,
    target.axis,
    { settings, origin: path, restS: procedure.restS },
    {
      onConclusions: (conclusions) => conclusions.forEach(say),
      onSample: (sample) => display.show(sample),
      onMotion: (event) => {
        display.label = event.kind === 'stopped' ? '  at rest' : '  moving'
        if (event.kind === 'stopped') end({ kind: 'stopped' })
      },
      onFailure: fail,
    },
  )
  let closed: { readonly error: TablepaceError | null } | null = null
  const port = await openReadout({
    path,
    baudRate: baudRate(options),
    onLine: (line) => recorder.line(line),
    onRejected: () => {},
    onClose: (error) => {
      closed = { error }
      fail(error)
    },
  })
  const keys = canAsk() ? openKeys() : null
  if (keys !== null)
    say('R repeats the last run · D drops it · S skips a step · Q stops; what is done is kept.')
  void forwardKeys(keys, (key) => end({ kind: 'key', key }))
  const stopListening = onInterrupt(() => end({ kind: 'key', key: 'q' }))
  try {
    for (let step = session.next(); step !== null; step = session.next()) {
      announceStep(session, procedure, step, target)
      display.label = '  waiting'
      const ended = new Promise<Ending>((resolve) => {
        end = resolve
      })
      recorder.begin(step.dial, session.conditions(step, conditionsFrom(options)))
      if (closed !== null) fail((closed as { error: TablepaceError | null }).error)
      const ending = await ended
      clearStatus()
      const outcome = recorder.finish(nowIso())
      if (ending.kind === 'failed') {
        if (outcome.runs.length > 0) tellResult(session.settle(step, outcome, nowIso()), target)
        if (ending.error !== null) throw ending.error
        return false
      }
      if (ending.kind === 'stopped') {
        ringBell()
        tellResult(session.settle(step, outcome, nowIso()), target)
      } else if (!applyKey(session, step, ending.key)) {
        return false
      }
    }
    return session.doneSteps.length === session.plan.steps.length
  } finally {
    stopListening()
    keys?.close()
    await port.close()
  }
}

const SESSION_KEYS: Readonly<Record<string, string>> = { r: 'r', d: 'd', s: 's', q: 'q', interrupt: 'q' }

async function forwardKeys(keys: Keys | null, receive: (key: string) => void): Promise<void> {
  while (keys !== null) {
    const known = SESSION_KEYS[(await keys.next()).key]
    if (known !== undefined) receive(known)
  }
}
