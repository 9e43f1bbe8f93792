import { TablepaceError } from '../../errors/index.js'
import {
  type HostClock,
  type LineFormat,
  OtherAxisWatch,
  type OtherNumber,
  type Sample,
  SampleReader,
  type StampedLine,
} from '../../ingest/index.js'
import type { Axis, DialSetting, Run, Store } from '../../store/index.js'
import { type MotionEvent, MotionWatch } from '../../traverse/index.js'
import { withRescuedLines } from '../care/store-rescue.js'
import { asWriter } from '../care/store-writer.js'
import { ingestOptions, type ReadoutSettings } from '../readout/readout-settings.js'
import { newRecording } from '../record/new-recording.js'
import { judgeStoredTakes } from '../record/record-takes.js'
import type { TakeConditions, TakeOutcome } from '../record/takes.js'

/** What is told while lines come in. */
interface RecorderListener {
  /** The format was worked out; one plain sentence each. */
  readonly onConclusions: (conclusions: readonly string[]) => void
  readonly onSample: (sample: Sample) => void
  readonly onMotion: (event: MotionEvent) => void
  /** Another axis moves while this one stands still. */
  readonly onOtherAxis: (other: OtherNumber) => void
  /** The lines cannot be read at all, or can no longer be stored. What is in the store stays. */
  readonly onFailure: (error: TablepaceError) => void
}

/**
 * Time, s, after which lines are in the store at latest. Judgement: what a pulled plug may lose; more often costs
 * a write for every few lines.
 */
const SAVE_EVERY_S = 0.5

/**
 * So many lines one after the other that give no position show that the format was worked out from lines of
 * another kind, such as what a readout says when it is switched on. Judgement: three times as many as a format is
 * worked out from, so that damaged lines do not do it by chance, and lines of a second shape were looked at
 * before.
 */
const MISREAD_AFTER_LINES = 60

/**
 * Takes the lines of one live readout into recordings, one after the other: raw lines go to the store as they come,
 * and the motion is watched so that it can be followed without a key. One reader serves all recordings, so that the
 * format is worked out once.
 */
export class LiveRecorder {
  readonly #store: Store
  readonly #axis: Axis
  #settings: ReadoutSettings
  readonly #origin: string
  readonly #clock: HostClock
  readonly #listener: RecorderListener
  #reader: SampleReader
  #watch: MotionWatch | null = null
  #others: OtherAxisWatch | null = null
  #restS = 1
  #current: {
    readonly id: string
    readonly dial: DialSetting
    readonly turned: readonly number[] | undefined
  } | null = null
  #unsaved: StampedLine[] = []
  #stopSaving: () => void = () => {}
  /** The lines gave no format; the next recording tries anew. */
  #unreadable = false
  /** Lines since the last position. */
  #withoutPosition = 0

  constructor(
    store: Store,
    axis: Axis,
    source: { readonly settings: ReadoutSettings; readonly origin: string; readonly clock: HostClock },
    listener: RecorderListener,
  ) {
    this.#store = store
    this.#axis = axis
    this.#settings = source.settings
    this.#origin = source.origin
    this.#clock = source.clock
    this.#listener = listener
    this.#reader = this.#newReader()
  }

  /** How the lines are read, as soon as it shows. */
  get format(): LineFormat | null {
    return this.#reader.format
  }

  /** Reads the lines in another way from now on. Not while a recording is under way. */
  readAs(settings: ReadoutSettings): void {
    this.#settings = settings
    this.#reader = this.#newReader()
    this.#watch = null
  }

  /** Whether the table was seen to start and not yet seen to stop. */
  get isMoving(): boolean {
    return this.#watch?.isMoving ?? false
  }

  /**
   * Begins a recording; lines go there until `finish`.
   *
   * @param restS rest after a traverse that ends it, s
   * @param turned the settings that the dial will be turned through on the way; left out where it stands at one
   */
  begin(dial: DialSetting, conditions: TakeConditions, restS: number, turned?: readonly number[]): void {
    const through = turned === undefined ? {} : { turned: { dials: turned, mayEndEarly: true } }
    const take = { dial, origin: this.#origin, settings: { ...this.#settings, ...through } }
    const recording = asWriter(newRecording(this.#axis, take, conditions), 'live')
    const { id } = this.#store.recordings.start(recording)
    this.#current = { id, dial, turned }
    this.#restS = restS
    this.#watch = null
    this.#others?.forget()
    if (this.#unreadable) this.#reader = this.#newReader()
    this.#unreadable = false
    this.#stopSaving = this.#clock.every(SAVE_EVERY_S, () => this.#saveInTime())
  }

  /** Takes the next line; lines between two recordings are only read. */
  line(line: StampedLine): void {
    if (this.#current !== null) this.#unsaved.push(line)
    if (this.#unreadable) return
    const decidedBefore = this.#reader.format !== null
    try {
      this.#reader.feed(line)
    } catch (error) {
      if (!(error instanceof TablepaceError)) throw error
      this.#unreadable = true
      this.#listener.onFailure(error)
      return
    }
    this.#withoutPosition += this.#reader.format === null ? 0 : 1
    if (this.#withoutPosition >= MISREAD_AFTER_LINES) {
      this.#withoutPosition = 0
      this.#reader = this.#newReader()
      this.#watch = null
      return
    }
    if (!decidedBefore && this.#reader.format !== null) this.#listener.onConclusions(this.#reader.conclusions)
    this.#watchOthers(line)
  }

  #watchOthers({ timeS, text }: StampedLine): void {
    const { format } = this.#reader
    if (this.#current === null || format === null) return
    this.#others ??= new OtherAxisWatch(format, this.#axis.name)
    const other = this.#others.line(timeS, text)
    if (other !== null) this.#listener.onOtherAxis(other)
  }

  /**
   * Ends the recording in progress, judges it and keeps its runs.
   *
   * @param known how many of the settings turned through are known well enough
   * @returns null where none is in progress
   */
  finish(nowIso: string, known?: number): TakeOutcome<Run> | null {
    const current = this.#current
    if (current === null) return null
    this.#stopSaving()
    try {
      this.#save()
    } catch (error) {
      throw withRescuedLines(error, this.#unsaved, current.id)
    } finally {
      this.#current = null
      this.#unsaved = []
    }
    const { dial, turned } = current
    const through = turned === undefined ? {} : { turned: { dials: turned, mayEndEarly: true, known } }
    const take = { dial, origin: this.#origin, settings: { ...this.#settings, ...through } }
    return judgeStoredTakes(this.#store, this.#axis, [take], [current.id], nowIso)[0]!
  }

  /** The lines broke off: what is read later has nothing to do with what was read before but its format. */
  breakOff(): void {
    this.#reader = this.#newReader(this.#reader.format ?? undefined)
    this.#watch = null
  }

  #newReader(format?: LineFormat): SampleReader {
    this.#others = null
    const options = ingestOptions(this.#settings, this.#axis)
    return new SampleReader(format === undefined ? options : { ...options, format }, {
      onSample: (sample) => {
        this.#withoutPosition = 0
        this.#sample(sample)
      },
      onRejected: () => {},
    })
  }

  #sample(sample: Sample): void {
    this.#listener.onSample(sample)
    this.#others?.position(sample.positionMm)
    this.#watch ??= new MotionWatch({ positionStepMm: this.#readoutStepMm(), restS: this.#restS })
    const event = this.#watch.add(sample.timeS, sample.positionMm)
    if (event !== null) this.#listener.onMotion(event)
  }

  /** Readouts often step by five of their last digit; the watch must not take that for motion. */
  #readoutStepMm(): number {
    return 5 * this.lastDigitMm
  }

  /** What one unit of the last digit of the positions is worth, mm; a thousandth until the lines tell. */
  get lastDigitMm(): number {
    const shapes = this.#reader.format?.shapes ?? []
    const digitsMm = shapes.map(({ mmPerNumber, decimals }) => mmPerNumber * 10 ** -(decimals ?? 3))
    return digitsMm.length === 0 ? 0.001 : Math.max(...digitsMm)
  }

  #saveInTime(): void {
    try {
      // Waiting would hold up the stamps of the lines that come; what is not saved now is saved with the next.
      this.#store.withoutWaiting(() => this.#save())
    } catch (error) {
      if (!(error instanceof TablepaceError)) throw error
      if (error.code !== 'store-locked') this.#listener.onFailure(error)
    }
  }

  #save(): void {
    if (this.#current === null || this.#unsaved.length === 0) return
    const lines = this.#unsaved
    this.#store.recordings.appendLines(this.#current.id, lines)
    // Only now: lines that could not be stored are tried again.
    this.#unsaved = []
  }
}
