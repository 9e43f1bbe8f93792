import { UsageError } from '../../../errors/index.js'
import { checkDial, type LiveEvent, LiveSession, type LiveWork, travelsBegan } from '../../../jobs/index.js'
import type { Axis, Store } from '../../../store/index.js'
import type {
  ArmRequest,
  ConnectRequest,
  KnownMoveAnswer,
  KnownMoveRequest,
  LiveState,
  PageEvent,
  TakeAnswer,
} from '../../api.js'
import { nowIso } from '../desk.js'
import { NO_READOUT, stateChange, troubleText } from './live-state.js'
import { stepAnswer, takeAnswer } from './page-run.js'
import { afterKnownMove, isUnitOpen, type OpenReadout, readoutAsked } from './readout-asked.js'
import { recheckTravels } from './recheck-travels.js'
import { type SessionDesk, sessionTags } from './session-desk.js'
import { SweepWatch } from './sweep-watch.js'
import { Trace } from './trace.js'

/**
 * The one readout that the page follows. Recordings run here, not in a browser: a page that is closed or loses its
 * connection loses nothing, and every page that looks sees the same.
 */
export class LiveDesk {
  readonly #store: Store
  readonly #sessions: SessionDesk
  readonly #send: (event: PageEvent) => void
  readonly #trace: Trace
  #state: LiveState = NO_READOUT
  #open: OpenReadout | null = null
  /** The travels through many settings that have not yet become a table. */
  #travels: SweepWatch | null = null
  /** When the travels of an axis were given up; forgotten with the program, after which they may be carried on. */
  readonly #givenUp = new Map<number, string>()
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

  /** Whether a readout is open, or about to be. */
  get isOpen(): boolean {
    return this.#state.status !== 'closed'
  }

  /** The port of the readout that is open; null where none is. */
  get port(): string | null {
    return this.#state.port
  }

  /** Whether the readout that is open follows this axis. */
  follows(axisId: number): boolean {
    return this.#state.status !== 'closed' && this.#state.axisId === axisId
  }

  /** Opens a readout; an open one is closed first. @throws UsageError `recording-runs`; DeviceError as `openReadout` does */
  async connect(request: ConnectRequest): Promise<void> {
    this.#refuseWhileRecording()
    await this.disconnect()
    const asked = await readoutAsked(this.#store, request)
    const { axis, source } = asked
    // Another page may have been quicker.
    this.#refuseWhileRecording()
    await this.disconnect()
    this.#forgetPositions()
    this.#change({ ...NO_READOUT, status: 'opening', axisId: axis.id, port: request.port })
    try {
      let live: LiveSession | null = null
      live = await LiveSession.open(this.#store, axis, source, (event) => {
        // What an old readout still has to say is of no interest once another is open.
        if (live !== null && this.#open?.live === live) this.#show(event, this.#open)
      })
      this.#open = { ...asked, live }
    } catch (error) {
      this.#change({ status: 'closed', trouble: troubleText(error) })
      throw error
    }
    this.#change({ status: 'watching' })
  }

  /** Begins to record. @throws UsageError `no-readout`, `recording-runs`, `session-complete`, and as `checkDial` does */
  async arm({ what, tags = {} }: ArmRequest): Promise<void> {
    const { axis } = this.#openReadout()
    const work =
      what.kind === 'run'
        ? runOf(axis, what, tags)
        : what.kind === 'sweep'
          ? this.#travelsOf(axis, what, tags)
          : what.kind === 'recheck-travels'
            ? await this.#recheckTravelsOf(axis, tags)
            : await this.#stepsOf(axis, tags)
    // Another page may have been quicker.
    const { live } = this.#openReadout()
    this.#change({ trouble: null })
    live.arm(work)
  }

  /** Ends the recording under way; what came is kept and judged. */
  disarm(): void {
    this.#open?.live.disarm()
    this.#travels?.rest()
    if (this.#open !== null && this.#state.status !== 'away') this.#change({ status: 'watching' })
  }

  /** Takes a move that the user made and typed; the numbers are read as it shows. @throws as `afterKnownMove` does */
  knownMove({ moved }: KnownMoveRequest): KnownMoveAnswer {
    const shownMm = this.#lastMm - (this.#firstMm ?? this.#lastMm)
    const { open, sentence } = afterKnownMove(this.#openReadout(), moved, shownMm)
    this.#open = open
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
    const open = this.#open
    if (open === null) return
    this.disarm()
    this.#open = null
    await open.live.close()
    this.#change(NO_READOUT)
  }

  /** Whether runs of this axis were made by travels through many settings, and no table of them yet. */
  hasTravels(axisId: number): boolean {
    const now = nowIso()
    return this.#travelsBegan(this.#store.axes.byId(axisId), now) < now
  }

  /** Forgets the travels through many settings: a table was made of them, or another store took the place of theirs. */
  forgetTravels(): void {
    if (this.#travels !== null) this.#givenUp.set(this.#travels.axisId, nowIso())
    this.#travels = null
    this.#change({})
  }

  #travelsOf(axis: Axis, what: ArmRequest['what'] & { readonly kind: 'sweep' }, tags: Tags): LiveWork {
    const wanted = { directions: what.directions, withinPercent: what.withinPercent ?? null }
    this.#travels = SweepWatch.ofCalibration(this.#store, axis, wanted, this.#travelsBegan(axis, nowIso()))
    return { kind: 'sweep', sweeps: this.#travels, conditions: { dialReset: true, tags, note: null } }
  }

  async #recheckTravelsOf(axis: Axis, tags: Tags): Promise<LiveWork> {
    const open = await this.#sessions.required(axis)
    const { travels, work } = recheckTravels(this.#store, axis, open, tags)
    this.#travels = travels
    return work
  }

  /** From when on the travels of an axis count; those that were given up on this page do not. */
  #travelsBegan(axis: Axis, nowIso: string): string {
    const began = travelsBegan(this.#store, axis, nowIso)
    const givenUp = this.#givenUp.get(axis.id) ?? ''
    return began > givenUp ? began : nowIso
  }

  async #stepsOf(axis: Axis, tags: Tags): Promise<LiveWork> {
    const open = await this.#sessions.required(axis)
    if (open.session.next() === null) {
      throw new UsageError('session-complete', 'All runs of this session are done.', 'Make the table.')
    }
    const { resetDial: dialReset } = open.procedure
    const conditions = { dialReset, tags: { ...tags, ...sessionTags(open) }, note: null }
    return { kind: 'steps', session: open.session, procedure: open.procedure, conditions }
  }

  /** The readout where it can begin to record. @throws UsageError `no-readout`, `recording-runs` */
  #openReadout(): OpenReadout {
    if (this.#open === null || this.#state.status === 'opening' || this.#state.status === 'away') {
      throw new UsageError('no-readout', 'No readout is open.', 'Connect the readout first.')
    }
    this.#refuseWhileRecording()
    return this.#open
  }

  #refuseWhileRecording(): void {
    const { status } = this.#state
    if (status !== 'armed' && status !== 'moving' && status !== 'opening') return
    throw new UsageError('recording-runs', 'A recording is in progress.', 'Wait for its end, or stop it.')
  }

  #show(event: LiveEvent, open: OpenReadout): void {
    if (event.kind === 'sweep') this.#travels?.hear(event)
    else if (ENDS_TRAVEL.has(event.kind)) this.#travels?.rest()
    const change = stateChange(event, this.#state)
    if (change !== null) this.#change(change)
    if (event.kind === 'sample') {
      this.#firstMm ??= event.sample.positionMm
      this.#lastMm = event.sample.positionMm
      this.#trace.add(event.sample.timeS, event.sample.positionMm)
    } else if (event.kind === 'conclusions') this.#change({ unitIsOpen: isUnitOpen(this.#store, open) })
    else if (event.kind === 'moving')
      this.#send({ kind: 'motion', moving: true, direction: event.direction, atS: event.timeS })
    else if (event.kind === 'stopped')
      this.#send({ kind: 'motion', moving: false, direction: null, atS: event.restSinceS })
    else if (event.kind === 'sweep') this.#send({ kind: 'sweep', axisId: open.axis.id, cue: event })
    else if (event.kind === 'judged') {
      // A table that never moved is news only where it was seen to stop.
      if (event.outcome.runs.length > 0 || event.ending === 'at-rest')
        this.#tell(takeAnswer(event.outcome), open)
    } else if (event.kind === 'step-settled' || event.kind === 'step-open') {
      this.#tell(stepAnswer(event.outcome, event.result), open)
    } else if (event.kind === 'closed') this.#open = null
  }

  #tell(take: TakeAnswer, open: OpenReadout): void {
    const axisId = open.axis.id
    this.#send({ kind: 'take', axisId, take })
    this.#send({ kind: 'changed', axisId })
    this.#change({ unitIsOpen: isUnitOpen(this.#store, open) })
  }

  #change(changes: Partial<LiveState>): void {
    this.#state = { ...this.#state, ...changes, sweep: this.#travels?.isShown ? this.#travels.state : null }
    this.#send({ kind: 'live', state: this.#state })
  }
}

/** What shows that the knob is no longer to be turned. */
const ENDS_TRAVEL: ReadonlySet<LiveEvent['kind']> = new Set(['judged', 'lost', 'failed', 'done', 'closed'])

type Tags = NonNullable<ArmRequest['tags']>

function runOf(axis: Axis, what: ArmRequest['what'] & { readonly kind: 'run' }, tags: Tags): LiveWork {
  const { dialReset, check } = what
  const conditions = { dialReset, tags, note: null, ...(check === true ? { check } : {}) }
  return { kind: 'run', dial: checkDial(axis, what.dial), conditions }
}
