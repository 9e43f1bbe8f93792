import { TablepaceError, UsageError } from '../../errors/index.js'
import type { ReadoutLoss } from '../../ingest/index.js'
import { checkDial, SINGLE_RUN_REST_S } from '../../jobs/index.js'
import type { Store } from '../../store/index.js'
import type { MotionEvent } from '../../traverse/index.js'
import type {
  ArmRequest,
  ConnectRequest,
  KnownMoveAnswer,
  KnownMoveRequest,
  LiveState,
  PageEvent,
} from '../api.js'
import { beginRecording, type Ended, type Recording, settledTake } from './live-recording.js'
import { ReadoutLink } from './readout-link.js'
import type { SessionDesk } from './session-desk.js'
import { Trace } from './trace.js'

const CLOSED: LiveState = {
  status: 'closed',
  axisId: null,
  port: null,
  dial: null,
  direction: null,
  inSession: false,
  trouble: null,
  conclusions: [],
  unitIsOpen: false,
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
  #link: ReadoutLink | null = null
  #recording: Recording | null = null
  /** What goes on when a lost readout is back. */
  #afterLoss: Recording | null = null
  /** Where the table stood when the readout was opened, or read in another way, and where it stands now. */
  #firstMm: number | null = null
  #lastMm = 0

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
    this.#refuseWhileRecording()
    await this.disconnect()
    const link = await ReadoutLink.prepare(this.#store, request, {
      onConclusions: (conclusions) => this.#change({ conclusions, unitIsOpen: link.unitIsOpen }),
      onSample: ({ timeS, positionMm }) => {
        this.#firstMm ??= positionMm
        this.#lastMm = positionMm
        this.#trace.add(timeS, positionMm)
      },
      onMotion: (event) => this.#motion(event),
      onFailure: (error) => this.#guarded(() => this.#failed(error)),
    })
    // Another page may have been quicker.
    this.#refuseWhileRecording()
    await this.disconnect()
    this.#forgetPositions()
    this.#link = link
    this.#change({ ...CLOSED, status: 'opening', axisId: link.axis.id, port: request.port })
    try {
      await link.open({
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
    const link = this.#openLink()
    if (what.kind === 'run') {
      const dial = checkDial(link.axis, what.dial)
      link.restAfter(SINGLE_RUN_REST_S)
      return this.#begin({ kind: 'run', dial, dialReset: what.dialReset })
    }
    const open = await this.#sessions.required(link.axis)
    const step = open.session.next()
    if (step === null) {
      throw new UsageError('session-complete', 'All runs of this session are done.', 'Fit the table.')
    }
    // Another page may have been quicker.
    this.#openLink().restAfter(open.procedure.restS)
    this.#begin({ kind: 'step', open, step })
  }

  /** Ends the recording under way; what came is kept and judged. */
  disarm(): void {
    this.#afterLoss = null
    try {
      const ended = this.#end()
      if (ended !== null && ended.outcome.runs.length > 0) this.#tell(ended)
    } finally {
      if (this.#link !== null && this.#state.status !== 'away') this.#change({ status: 'watching' })
    }
  }

  /** Takes a move that the user made and typed; the numbers are read as it shows. @throws as `takeKnownMove` does */
  knownMove({ moved }: KnownMoveRequest): KnownMoveAnswer {
    const sentence = this.#openLink().takeKnownMove(moved, this.#lastMm - (this.#firstMm ?? this.#lastMm))
    this.#forgetPositions()
    this.#change({ unitIsOpen: false })
    return { sentence }
  }

  #forgetPositions(): void {
    this.#trace.clear()
    this.#firstMm = null
  }

  /** Closes the readout; a recording under way is ended and judged. */
  async disconnect(): Promise<void> {
    const link = this.#link
    if (link === null) return
    this.disarm()
    this.#link = null
    await link.close()
    this.#change(CLOSED)
  }

  /** The readout where it can begin to record. @throws UsageError `no-readout`, `recording-runs` */
  #openLink(): ReadoutLink {
    const { status } = this.#state
    if (this.#link === null || status === 'opening' || status === 'away') {
      throw new UsageError('no-readout', 'No readout is open.', 'Connect the readout first.')
    }
    this.#refuseWhileRecording()
    return this.#link
  }

  #refuseWhileRecording(): void {
    if (this.#recording === null && this.#state.status !== 'opening') return
    throw new UsageError('recording-runs', 'A recording is under way.', 'Wait for its end, or stop it.')
  }

  #begin(recording: Recording): void {
    const link = this.#link!
    beginRecording(link.recorder, recording, nowIso())
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

  #tell(ended: Ended): void {
    const axisId = this.#link!.axis.id
    this.#send({ kind: 'take', axisId, take: settledTake(this.#store, ended, nowIso()) })
    this.#send({ kind: 'changed', axisId })
    this.#change({ unitIsOpen: this.#link!.unitIsOpen })
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
