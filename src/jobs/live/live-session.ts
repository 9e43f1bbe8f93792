import { TablepaceError } from '../../errors/index.js'
import {
  type HostClock,
  hostClock,
  type LineFormat,
  openReconnectingReadout,
  type ReadoutLoss,
  type ReadoutPort,
  type StampedLine,
} from '../../ingest/index.js'
import type { Axis, Store } from '../../store/index.js'
import type { MotionEvent } from '../../traverse/index.js'
import { nowIso as now } from '../now.js'
import type { ReadoutSettings } from '../readout/readout-settings.js'
import { SilenceWatch } from '../readout/silence-watch.js'
import type { LiveEvent, LiveStatus } from './live-events.js'
import { LiveRecorder } from './live-recorder.js'
import { LiveTakes } from './live-takes.js'
import type { LiveSource, LiveWork, LiveWorld } from './live-work.js'

/**
 * How often it is looked whether the readout has fallen silent, s. Judgement: as soon as a person would notice.
 */
const LOOK_FOR_SILENCE_S = 0.25

/**
 * One readout on one port, and the recordings made from it: single traverses, or the steps of a guided session one after
 * the other. Command line and page drive it and show its events; what counts is decided here, the same for all:
 *
 * - a recording ends when the table has come to rest, when a person ends it, or when the readout is lost;
 * - the two pieces of a traverse during which the readout was lost do not count, nor does a step that was left while the
 *   table moved, nor one that took less time than the procedure asks for;
 * - a step without a run that counts stays open and comes again.
 */
export class LiveSession {
  readonly #tell: (event: LiveEvent) => void
  readonly #recorder: LiveRecorder
  readonly #takes: LiveTakes
  readonly #silence = new SilenceWatch()
  readonly #stopLooking: () => void
  #port: ReadoutPort | null = null
  /** Set while a line is taken in: what it brought about is done when it is through. */
  #stopped = false
  #failure: TablepaceError | null = null
  #away = false
  #closed = false

  private constructor(
    store: Store,
    axis: Axis,
    source: LiveSource,
    tell: (event: LiveEvent) => void,
    world: { readonly clock: HostClock; readonly nowIso: () => string },
  ) {
    this.#tell = tell
    this.#recorder = new LiveRecorder(
      store,
      axis,
      { settings: source.settings, origin: source.path, clock: world.clock },
      {
        onConclusions: (sentences) => tell({ kind: 'conclusions', sentences }),
        onSample: (sample) => {
          tell({ kind: 'sample', sample })
          this.#takes.sample(sample.timeS, sample.positionMm)
        },
        onMotion: (event) => this.#motion(event),
        onOtherAxis: (other) => tell({ kind: 'other-axis', other, axis: axis.name }),
        onFailure: (error) => {
          this.#failure = error
        },
      },
    )
    this.#takes = new LiveTakes({ store, axis, recorder: this.#recorder, tell, nowIso: world.nowIso })
    this.#stopLooking = world.clock.every(LOOK_FOR_SILENCE_S, () => {
      const silentS = this.#silence.look(world.clock.nowS())
      if (silentS !== null) tell({ kind: 'silent', silentS })
      // Saving in time may have failed as well.
      this.#guarded(() => this.#settleFailure())
    })
  }

  /**
   * Opens the port; nothing is recorded yet.
   *
   * @param tell is told all that happens
   * @throws DeviceError as `openReadout` does
   */
  static async open(
    store: Store,
    axis: Axis,
    source: LiveSource,
    tell: (event: LiveEvent) => void,
    world: LiveWorld = {},
  ): Promise<LiveSession> {
    const { clock = hostClock(), openPort = openReconnectingReadout, nowIso = now } = world
    const session = new LiveSession(store, axis, source, tell, { clock, nowIso })
    try {
      session.#port = await openPort({
        path: source.path,
        ...source.link,
        clock,
        waitS: source.waitS,
        onLine: (line) => session.#line(line),
        onRejected: () => {},
        onLost: (loss) => session.#guarded(() => session.#lost(loss)),
        onBack: (awayS) => session.#guarded(() => session.#back(awayS)),
        onClose: (error) => session.#close(error),
      })
    } catch (error) {
      session.#stopLooking()
      throw error
    }
    return session
  }

  get status(): LiveStatus {
    if (this.#closed) return 'closed'
    if (this.#away) return 'away'
    if (!this.#takes.isUnderWay) return 'watching'
    return this.#recorder.isMoving ? 'moving' : 'armed'
  }

  /** How the lines are read, as soon as it shows. */
  get format(): LineFormat | null {
    return this.#recorder.format
  }

  /** Reads the lines in another way from now on; what is under way is ended first. */
  readAs(settings: ReadoutSettings): void {
    this.disarm()
    this.#recorder.readAs(settings)
  }

  /** Begins to record; what was under way is ended first. Where the readout is away, it begins when that is back. */
  arm(work: LiveWork): void {
    this.#guarded(() => {
      this.#takes.end('ended')
      this.#takes.assign(work)
      if (!this.#away) this.#takes.next(false)
    })
  }

  /** Ends what is under way; what came is kept and judged. */
  disarm(): void {
    this.#guarded(() => {
      this.#takes.assign(null)
      this.#takes.end('ended')
    })
  }

  /** Closes the port; what is under way is ended and judged. */
  async close(): Promise<void> {
    this.disarm()
    await this.#port?.close()
  }

  #line(line: StampedLine): void {
    this.#guarded(() => {
      this.#silence.heard(line.timeS)
      this.#recorder.line(line)
      this.#settleFailure()
      if (!this.#stopped) return
      this.#stopped = false
      this.#takes.endAtRest()
    })
  }

  #motion(event: MotionEvent): void {
    if (event.kind === 'started') {
      this.#tell({ kind: 'moving', direction: event.direction, timeS: event.timeS })
      this.#takes.started()
    } else if (event.kind === 'stopped') {
      this.#tell({ kind: 'stopped', restSinceS: event.restSinceS })
      // The line that showed the stop belongs to the recording, so it has to be through first.
      this.#stopped = this.#takes.isUnderWay
    }
  }

  #lost(loss: ReadoutLoss): void {
    this.#away = true
    this.#silence.forget()
    this.#tell({ kind: 'lost', loss })
    this.#takes.end('lost')
    this.#recorder.breakOff()
  }

  #back(awayS: number): void {
    this.#away = false
    this.#tell({ kind: 'back', awayS })
    this.#takes.next(true)
  }

  #close(error: TablepaceError | null): void {
    if (this.#closed) return
    this.#guarded(() => this.#takes.end(error === null ? 'ended' : 'lost'))
    this.#takes.assign(null)
    this.#closed = true
    this.#stopLooking()
    this.#tell({ kind: 'closed', error })
  }

  /** Ends what is under way where lines could not be read or stored. */
  #settleFailure(): void {
    const error = this.#failure
    if (error === null) return
    this.#failure = null
    this.#stopped = false
    this.#takes.assign(null)
    // Where ending fails too, that error tells more: what became of the lines not yet saved.
    this.#guarded(() => {
      this.#takes.end('ended')
      this.#tell({ kind: 'failed', error })
    })
  }

  /** What fails in a callback of the port has no caller to tell. */
  #guarded(work: () => void): void {
    try {
      work()
    } catch (error) {
      if (!(error instanceof TablepaceError)) throw error
      this.#takes.giveUp()
      this.#tell({ kind: 'failed', error })
    }
  }
}
