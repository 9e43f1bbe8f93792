import { TablepaceError, UsageError } from '../../errors/index.js'
import {
  loadReadoutProfile,
  openReconnectingReadout,
  type ReadoutLoss,
  type ReadoutPort,
} from '../../ingest/index.js'
import type { PlanStep } from '../../planning/index.js'
import type { Axis, DialSetting, MachineAxis, Run, Store } from '../../store/index.js'
import type { MotionEvent } from '../../traverse/index.js'
import {
  checkDial,
  LiveRecorder,
  portLink,
  type ReadoutSettings,
  SINGLE_RUN_REST_S,
  type TakeConditions,
  type TakeOutcome,
} from '../../workflow/index.js'
import type { ArmRequest, ConnectRequest, LiveState, PageEvent } from '../api.js'
import { pageRun, takeAnswer } from './page-run.js'
import { type OpenSession, type SessionDesk, sessionTags } from './session-desk.js'
import { Trace } from './trace.js'

/** What is being recorded: a run for itself, or a step of the session. */
type Recording =
  | { readonly kind: 'run'; readonly dial: DialSetting; readonly dialReset: boolean }
  | { readonly kind: 'step'; readonly open: OpenSession; readonly step: PlanStep }

/** A recording that came to its end, and what it came to. */
interface Ended {
  readonly recording: Recording
  readonly outcome: TakeOutcome<Run>
}

/** A readout that is open. */
interface Link {
  readonly target: MachineAxis
  readonly settings: ReadoutSettings
  readonly path: string
  recorder: LiveRecorder
  restS: number
  port: ReadoutPort | null
}

const CLOSED: LiveState = {
  status: 'closed',
  axisId: null,
  port: null,
  dial: null,
  direction: null,
  inSession: false,
  trouble: null,
  conclusions: [],
}

/**
 * The one readout that the page follows. Recordings run here, not in a browser: a page that is closed or loses its
 * connection loses nothing, and every page that looks sees the same.
 */
export class LiveDesk {
  readonly #store: Store
  readonly #sessions: SessionDesk
  readonly #send: (event: PageEvent) => void
  readonly #trace: Trace
  #state: LiveState = CLOSED
  #link: Link | null = null
  #recording: Recording | null = null
  /** What goes on when a lost readout is back. */
  #afterLoss: Recording | null = null

  constructor(store: Store, sessions: SessionDesk, send: (event: PageEvent) => void) {
    this.#store = store
    this.#sessions = sessions
    this.#send = send
    this.#trace = new Trace(send)
  }

  /** What a page that is just opened has to know. */
  get snapshot(): readonly PageEvent[] {
    return [{ kind: 'live', state: this.#state }, this.#trace.kept]
  }

  /** Opens a readout; an open one is closed first. @throws UsageError `recording-runs`; DeviceError as `openReadout` does */
  async connect(request: ConnectRequest): Promise<void> {
    if (this.#recording !== null || this.#state.status === 'opening') {
      throw new UsageError(
        'recording-runs',
        'The readout is recording just now.',
        'Stop the recording first.',
      )
    }
    await this.disconnect()
    const axis = this.#store.axes.byId(request.axisId)
    const target = { machine: this.#store.machines.byId(axis.machineId), axis }
    const profile = request.profile === null ? null : await loadReadoutProfile(request.profile)
    const wire = portLink(request.baudRate, profile)
    const settings: ReadoutSettings = {
      profile,
      bareUnit: target.machine.unit,
      countLengthMm: null,
      fromSpreadsheet: false,
      baudRate: wire.baudRate,
    }
    const link: Link = {
      ...{ target, settings, path: request.port, restS: SINGLE_RUN_REST_S, port: null },
      recorder: this.#newRecorder(target.axis, settings, request.port, SINGLE_RUN_REST_S),
    }
    this.#trace.clear()
    this.#link = link
    this.#change({ ...CLOSED, status: 'opening', axisId: axis.id, port: request.port })
    try {
      link.port = await openReconnectingReadout({
        path: request.port,
        ...wire,
        onLine: (line) => link.recorder.line(line),
        onRejected: () => {},
        onLost: (loss) => this.#guarded(() => this.#lost(loss)),
        onBack: () => this.#guarded(() => this.#back()),
        onClose: (error) => {
          if (this.#link === link) this.#closed(error)
        },
      })
    } catch (error) {
      this.#link = null
      this.#change({ status: 'closed', trouble: sentence(error) })
      throw error
    }
    this.#change({ status: 'watching' })
  }

  /** Begins to record. @throws UsageError `no-readout`, `recording-runs`, `session-complete`, and as `checkDial` does */
  async arm({ what }: ArmRequest): Promise<void> {
    const link = this.#link
    if (link === null || this.#state.status === 'opening' || this.#state.status === 'away') {
      throw new UsageError('no-readout', 'No readout is open.', 'Connect the readout first.')
    }
    if (this.#recording !== null) {
      throw new UsageError('recording-runs', 'A recording is under way.', 'Wait for its end, or stop it.')
    }
    const { axis } = link.target
    if (what.kind === 'run') {
      const dial = checkDial(axis, what.dial)
      this.#restAfter(link, SINGLE_RUN_REST_S)
      return this.#begin({ kind: 'run', dial, dialReset: what.dialReset })
    }
    const open = await this.#sessions.required(axis)
    const step = open.session.next()
    if (step === null) {
      throw new UsageError('session-complete', 'All runs of this session are done.', 'Fit the table.')
    }
    this.#restAfter(link, open.procedure.restS)
    this.#begin({ kind: 'step', open, step })
  }

  /** Ends the recording under way; what came is kept and judged. */
  disarm(): void {
    const ended = this.#end()
    if (ended !== null && ended.outcome.runs.length > 0) this.#tell(ended)
    if (this.#link !== null && this.#state.status !== 'away') this.#change({ status: 'watching' })
  }

  /** Closes the readout; a recording under way is ended and judged. */
  async disconnect(): Promise<void> {
    const link = this.#link
    if (link === null) return
    this.disarm()
    this.#link = null
    await link.port?.close()
    this.#change(CLOSED)
  }

  #newRecorder(axis: Axis, settings: ReadoutSettings, origin: string, restS: number): LiveRecorder {
    return new LiveRecorder(
      this.#store,
      axis,
      { settings, origin, restS },
      {
        onConclusions: (conclusions) => this.#change({ conclusions }),
        onSample: ({ timeS, positionMm }) => this.#trace.add(timeS, positionMm),
        onMotion: (event) => this.#motion(event),
        onFailure: (error) => this.#guarded(() => this.#failed(error)),
      },
    )
  }

  /** A session may ask for another rest than a single run; the format is worked out anew within a second. */
  #restAfter(link: Link, restS: number): void {
    if (link.restS === restS) return
    link.restS = restS
    link.recorder = this.#newRecorder(link.target.axis, link.settings, link.path, restS)
  }

  #begin(recording: Recording): void {
    const link = this.#link!
    const conditions: TakeConditions = {
      dialReset: recording.kind === 'step' ? recording.open.procedure.resetDial : recording.dialReset,
      tags: recording.kind === 'step' ? sessionTags(recording.open) : {},
      note: null,
      startedAt: nowIso(),
    }
    if (recording.kind === 'run') link.recorder.begin(recording.dial, conditions)
    else {
      const { open, step } = recording
      link.recorder.begin(step.dial, open.session.conditions(step, conditions))
    }
    this.#recording = recording
    const dial = recording.kind === 'run' ? recording.dial : recording.step.dial
    this.#change({
      status: 'armed',
      dial,
      direction: null,
      inSession: recording.kind === 'step',
      trouble: null,
    })
  }

  #motion(event: MotionEvent): void {
    if (event.kind === 'moving') return
    const moving = event.kind === 'started'
    const direction = event.kind === 'started' ? event.direction : null
    this.#send({ kind: 'motion', moving, direction, atS: moving ? event.timeS : event.restSinceS })
    if (this.#recording === null) return
    if (moving) this.#change({ status: 'moving', direction })
    // The line that showed the stop belongs to the recording, so it has to be through first.
    else queueMicrotask(() => this.#guarded(() => this.#finish()))
  }

  #finish(): void {
    const ended = this.#end()
    if (ended === null) return
    this.#tell(ended)
    const { recording } = ended
    const next = recording.kind === 'step' ? recording.open.session.next() : null
    if (recording.kind === 'step' && next !== null) this.#begin({ ...recording, step: next })
    else this.#change({ status: 'watching' })
  }

  /** Ends the recording under way and judges it; null without one. */
  #end(): Ended | null {
    const recording = this.#recording
    if (recording === null) return null
    this.#recording = null
    this.#change({ dial: null, direction: null, inSession: false })
    const outcome = this.#link!.recorder.interrupt(nowIso())
    return outcome === null ? null : { recording, outcome }
  }

  #tell({ recording, outcome }: Ended): void {
    const axisId = this.#link!.target.axis.id
    if (recording.kind === 'step') {
      const { problem } = recording.open.session.settle(recording.step, outcome, nowIso())
      // Settling may drop runs.
      const runs = outcome.runs.map((run) => pageRun(this.#store.runs.get(run.id)))
      this.#send({ kind: 'take', axisId, take: { dial: recording.step.dial, runs, problem } })
    } else {
      this.#send({ kind: 'take', axisId, take: takeAnswer(outcome) })
    }
    this.#send({ kind: 'changed', axisId })
  }

  #lost(loss: ReadoutLoss): void {
    const ended = this.#end()
    const moved = ended !== null && ended.outcome.runs.length > 0
    if (moved) this.#tell(ended)
    // Runs from before the loss tell that the dial was not touched since.
    this.#afterLoss =
      moved && ended.recording.kind === 'run'
        ? { ...ended.recording, dialReset: false }
        : (ended?.recording ?? null)
    const trouble =
      loss.kind === 'port'
        ? `${loss.error.message} Waiting up to ${Math.round(loss.waitS)} s for it to come back.`
        : `This computer stood still for ${loss.stoodS.toFixed(1)} s, so the arrival times are lost.`
    this.#change({ status: 'away', trouble })
  }

  #back(): void {
    this.#change({
      status: 'watching',
      trouble: 'The readout is back; a traverse that was under way has to be made again.',
    })
    const again = this.#afterLoss
    this.#afterLoss = null
    if (again === null) return
    const { trouble } = this.#state
    // A step that was judged by what came before the loss is done.
    const step = again.kind === 'step' ? again.open.session.next() : null
    if (again.kind === 'run') this.#begin(again)
    else if (step !== null) this.#begin({ ...again, step })
    this.#change({ trouble })
  }

  #closed(error: TablepaceError | null): void {
    this.#guarded(() => this.disarm())
    this.#link = null
    this.#change({ ...CLOSED, trouble: error === null ? null : sentence(error) })
  }

  #failed(error: TablepaceError): void {
    this.disarm()
    this.#change({ trouble: sentence(error) })
  }

  /** What fails in a callback of the port has no caller to tell; the page is told. */
  #guarded(work: () => void): void {
    try {
      work()
    } catch (error) {
      if (!(error instanceof TablepaceError)) throw error
      this.#recording = null
      this.#change({ status: this.#link === null ? 'closed' : 'watching', trouble: sentence(error) })
    }
  }

  #change(changes: Partial<LiveState>): void {
    this.#state = { ...this.#state, ...changes }
    this.#send({ kind: 'live', state: this.#state })
  }
}

function sentence(error: unknown): string {
  return error instanceof TablepaceError ? `${error.message} ${error.hint}` : String(error)
}

function nowIso(): string {
  return new Date().toISOString()
}
