import { TablepaceError, UsageError } from '../../../errors/index.js'
import {
  checkProfileName,
  columnSeries,
  type Framing,
  type ListeningPort,
  learnedProfile,
  learnShape,
  listeningPort,
  type ReadoutProfile,
  type StampedLine,
  saveUserProfile,
  sayColumn,
  sayLink,
} from '../../../ingest/index.js'
import {
  checkLearned,
  type HeardReadout,
  hearReadout,
  learnAxis,
  linesOf,
  measuredLines,
  type StatedLength,
  scaleOfMove,
} from '../../../jobs/index.js'
import { measuredText, scaleText, shapeText, trialText } from '../../../words/index.js'
import type { PageEvent } from '../../api.js'
import type { LearningState } from '../../readout-api.js'
import { troubleText } from '../measure/live-state.js'

const NOT_LEARNING: LearningState = {
  ...{ status: 'closed', port: null, trials: [], heard: [], columns: [], watched: [] },
  unitInLines: false,
  ...{ learned: [], trouble: null, suggestedName: '' },
}

/** What a page asks for before the axis is moved. */
interface AskedMove {
  /** The number of the line that is the axis, counted from 1; null where the move is to tell. */
  readonly column: number | null
  readonly knownMove: StatedLength | null
}

/** Time, s, after which a move that nobody ends is ended. Judgement: nobody moves a table for ten minutes. */
const LONGEST_MOVE_S = 600
/** How often the numbers under way are shown, s. Judgement: as often as a person can read them. */
const SHOWN_EVERY_S = 0.2

/**
 * Learns one readout at a time: listens until its lines can be read, watches the axis being moved, and keeps what was
 * learned as a profile. Nothing is ever written to the port.
 */
export class LearnDesk {
  readonly #send: (event: PageEvent) => void
  #state: LearningState = NOT_LEARNING
  #source: ListeningPort | null = null
  #heard: HeardReadout | null = null
  #profile: ReadoutProfile | null = null
  #moveIsOver = false

  constructor(send: (event: PageEvent) => void) {
    this.#send = send
  }

  get state(): LearningState {
    return this.#state
  }

  /** Begins to listen; what comes of it is told by events. */
  begin(port: string, pinned: { readonly baudRate?: number; readonly framing?: Framing }): void {
    this.#refuseUnless('closed', 'failed', 'heard', 'learned')
    this.#restart({ status: 'listening', port })
    const source = listeningPort(port)
    this.#source = source
    void this.#guarded(source, async () => {
      const heard = await hearReadout(source, port, pinned, (trial) => {
        if (this.#source === source) this.#change({ trials: [...this.#state.trials, trialText(trial)] })
      })
      if (this.#source !== source) return
      this.#heard = heard
      const shape = learnShape(heard.lines)
      this.#change({
        status: 'heard',
        heard: [`${sayLink(heard.link)} fits.`, ...shapeText(shape)],
        columns: shape.columns
          .filter(({ role }) => role === 'position')
          .map((column) => ({ column: column.column, name: sayColumn(column) })),
        unitInLines: shape.unit !== null,
      })
    })
  }

  /** Listens while the axis is moved, until `moved` says that it rests; tells how far each number went meanwhile. */
  watchMove(asked: AskedMove): void {
    this.#refuseUnless('heard')
    const [source, heard] = [this.#source!, this.#heard!]
    this.#moveIsOver = false
    this.#change({ status: 'moving', watched: [], trouble: null })
    void this.#guarded(source, async () => {
      let shownS = 0
      const chunks = await source.listen(heard.link, (soFar, elapsedS) => {
        if (elapsedS - shownS >= SHOWN_EVERY_S) {
          shownS = elapsedS
          this.#change({ watched: this.#watched(linesOf(soFar, heard.link)) })
        }
        return this.#moveIsOver || this.#source !== source || elapsedS > LONGEST_MOVE_S
      })
      if (this.#source === source) this.#learn(heard, linesOf(chunks, heard.link), asked, true)
    })
  }

  /** The move that is watched is over. */
  moved(): void {
    this.#refuseUnless('moving')
    this.#moveIsOver = true
  }

  /** Takes the number that the user names, without a move; what a number is worth then stays open. */
  choose(column: number): void {
    this.#refuseUnless('heard')
    try {
      this.#learn(this.#heard!, [], { column, knownMove: null }, false)
    } catch (error) {
      this.#fail(error)
    }
  }

  /** Keeps what was learned under a name. @throws UsageError `bad-profile-name`, `profile-name-taken`; FileError */
  async save(name: string, replace: boolean): Promise<void> {
    this.#refuseUnless('learned')
    await checkProfileName(name, replace)
    await saveUserProfile({ ...this.#profile!, name }, replace)
    await this.stop()
  }

  /** Lets go of the port. */
  async stop(): Promise<void> {
    const source = this.#source
    this.#restart({})
    await source?.close()
  }

  #learn(
    heard: HeardReadout,
    moveLines: readonly StampedLine[],
    { column, knownMove }: AskedMove,
    hasMoved: boolean,
  ): void {
    const lines = [...heard.lines, ...moveLines]
    const axis = learnAxis(lines, column === null ? {} : { column }, hasMoved)
    const scale = knownMove === null ? null : scaleOfMove(axis, knownMove)
    const measured = measuredLines(heard, moveLines, axis, scale)
    const learned = { axis: '*', link: heard.link, ...axis, scale, measured }
    const profile = learnedProfile({ name: 'my-readout', ...learned })
    checkLearned(profile, lines)
    this.#profile = profile
    this.#change({
      status: 'learned',
      learned: [
        `The axis is ${sayColumn(axis.column)}.`,
        scale === null ? unscaledText(axis.shape.unit) : scaleText(scale),
        ...(measured === null ? [] : measuredText(measured, knownMove?.rotary ? 'deg' : 'mm')),
      ],
      suggestedName: profile.name,
    })
  }

  /** How far each number went since listening began. */
  #watched(lines: readonly StampedLine[]): LearningState['watched'] {
    const shape = learnShape([...this.#heard!.lines, ...lines])
    return shape.columns
      .filter(({ role }) => role === 'position')
      .map((column) => {
        const { values } = columnSeries(lines, shape, column)
        const [first, last] = [values[0], values.at(-1)]
        const shown = (value: number | undefined) => value?.toFixed(column.decimals) ?? '–'
        return {
          name: sayColumn(column),
          now: shown(last),
          moved: first === undefined || last === undefined ? '–' : shown(last - first),
        }
      })
  }

  /** What fails while nobody waits for it is told as trouble, and the port is let go. */
  async #guarded(source: ListeningPort, work: () => Promise<void>): Promise<void> {
    try {
      await work()
    } catch (error) {
      if (this.#source === source) this.#fail(error)
    }
  }

  #fail(error: unknown): void {
    if (!(error instanceof TablepaceError)) throw error
    // What went wrong with a move can be made good by another one.
    const isHeard = this.#heard !== null && error.exitCode !== 5
    this.#change({ status: isHeard ? 'heard' : 'failed', trouble: troubleText(error) })
    if (isHeard) return
    void this.#source?.close()
    this.#source = null
  }

  #refuseUnless(...fitting: readonly LearningState['status'][]): void {
    if (fitting.includes(this.#state.status)) return
    throw new UsageError(
      'readout-open',
      this.#state.status === 'closed'
        ? 'No readout is being listened to.'
        : 'A readout is being listened to.',
      'Look at what the page shows now.',
    )
  }

  #restart(changes: Partial<LearningState>): void {
    void this.#source?.close()
    this.#source = null
    this.#heard = null
    this.#profile = null
    this.#state = NOT_LEARNING
    this.#change(changes)
  }

  #change(changes: Partial<LearningState>): void {
    this.#state = { ...this.#state, ...changes }
    this.#send({ kind: 'learning', state: this.#state })
  }
}

function unscaledText(unit: string | null): string {
  return unit === null
    ? "What a number is worth is not known: the machine's unit will be taken. A known move tells it."
    : `The unit ${unit} is taken from the lines.`
}
