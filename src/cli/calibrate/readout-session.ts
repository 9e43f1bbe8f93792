import type { TablepaceError } from '../../errors/index.js'
import { openReconnectingReadout } from '../../ingest/index.js'
import { type GuidedSession, LiveRecorder } from '../../jobs/index.js'
import type { Procedure } from '../../planning/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { nowIso } from '../context.js'
import { type Keys, openKeys } from '../keys.js'
import { LiveDisplay } from '../live-display.js'
import { portLink } from '../readout/port-link.js'
import { canAsk, clearStatus, ringBell, say } from '../terminal.js'
import { liveSettings, onInterrupt } from '../traverse/from-port.js'
import { tellBack, tellLoss, waitS } from '../traverse/gap-text.js'
import { settingsAfterMove } from '../traverse/known-move.js'
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
  | { readonly kind: 'lost' }
  | { readonly kind: 'back' }
  | { readonly kind: 'failed'; readonly error: TablepaceError | null }

/**
 * Follows the readout through all steps. No key is needed: the table is seen to start, travel and stop. On a terminal
 * R repeats the last run, D drops it, S skips a step, Q stops the session. Where the readout is unplugged, the traverse
 * under way is judged by what came before, and its step comes again when the readout is back.
 *
 * @returns whether all steps are done
 * @throws DeviceError when the port fails and does not come back; what was recorded is kept
 */
export async function runReadoutSession(
  session: GuidedSession,
  procedure: Procedure,
  { store, target, options }: SessionContext,
): Promise<boolean> {
  const path = options.port ?? ''
  const settings = await settingsAfterMove(store, target, options, await liveSettings(options, target))
  const display = new LiveDisplay(target.machine.unit)
  let end: (ending: Ending) => void = () => {}
  const fail = (error: TablepaceError | null): void => end({ kind: 'failed', error })
  const nextEnding = (): Promise<Ending> =>
    new Promise((resolve) => {
      end = resolve
    })
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
  let away = false
  const port = await openReconnectingReadout({
    path,
    ...portLink(options, settings.profile),
    waitS: waitS(options),
    onLine: (line) => recorder.line(line),
    onRejected: () => {},
    onLost: (loss) => {
      away = true
      tellLoss(loss)
      end({ kind: 'lost' })
    },
    onBack: (awayS) => {
      away = false
      tellBack(awayS)
      end({ kind: 'back' })
    },
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
      const ended = nextEnding()
      recorder.begin(step.dial, session.conditions(step, conditionsFrom(options)))
      if (away) end({ kind: 'lost' })
      if (closed !== null) fail((closed as { error: TablepaceError | null }).error)
      let ending = await ended
      clearStatus()
      const outcome = recorder.interrupt(nowIso())
      const moved = outcome !== null && outcome.runs.length > 0
      if (moved && (ending.kind === 'lost' || ending.kind === 'failed'))
        tellResult(session.settle(step, outcome, nowIso()), target)
      // Lines that come again are news to nobody but the next step.
      while (away && ending.kind !== 'failed' && !isQuit(ending)) ending = await nextEnding()
      if (ending.kind === 'failed') {
        if (ending.error !== null) throw ending.error
        return false
      }
      if (ending.kind === 'stopped') {
        ringBell()
        if (outcome !== null) tellResult(session.settle(step, outcome, nowIso()), target)
      } else if (ending.kind === 'key' && !applyKey(session, step, ending.key)) {
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

function isQuit(ending: Ending): boolean {
  return ending.kind === 'key' && ending.key === 'q'
}

const SESSION_KEYS: Readonly<Record<string, string>> = { r: 'r', d: 'd', s: 's', q: 'q', interrupt: 'q' }

async function forwardKeys(keys: Keys | null, receive: (key: string) => void): Promise<void> {
  while (keys !== null) {
    const known = SESSION_KEYS[(await keys.next()).key]
    if (known !== undefined) receive(known)
  }
}
