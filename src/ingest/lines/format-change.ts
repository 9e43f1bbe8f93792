import { TablepaceError } from '../../errors/index.js'
import { type InferenceHints, inferFormat } from './infer-format.js'
import type { LineFormat } from './line-format.js'
import { parseLine } from './parse-line.js'
import type { StampedLine } from './stamped-line.js'

/** Sound lines remembered, to hold refused ones against. Judgement: ten seconds of a usual readout. */
const REMEMBERED = 200
/**
 * Lines refused in a row that are no damage. Judgement: damage is scattered; twenty are a second of a fast
 * readout.
 */
const SUSPICIOUS = 20
/** The same at the end of a stream. Judgement: no more come, and five of one format are hardly chance. */
const SUSPICIOUS_AT_END = 5
/**
 * Refused lines held back for a second shape at most. Judgement: it bounds the memory; a minute of a fast readout.
 */
const MOST_HELD = 2000
/** Share of the lines that a format must fit to be theirs. Judgement: one in five may be damaged. */
const FITS_SHARE = 0.8

/**
 * Sees that a readout began to write its lines in another way after the format was decided, as it does when it is
 * switched between inch and mm. Refused lines are held back until a sound one follows or a second shape shows.
 */
export class FormatChange {
  readonly #hints: InferenceHints
  readonly #sound: StampedLine[] = []
  #soundCount = 0
  #held: StampedLine[] = []
  #lookAt = SUSPICIOUS

  constructor(hints: InferenceHints) {
    this.#hints = hints
  }

  /** A line of the decided format came. @returns the lines held back before it, which were damaged after all */
  sound(line: StampedLine): readonly StampedLine[] {
    this.#sound[this.#soundCount % REMEMBERED] = line
    this.#soundCount += 1
    return this.#held.length === 0 ? [] : this.release()
  }

  /** A line was refused. @returns whether it is time to look for a second shape */
  refused(line: StampedLine): boolean {
    this.#held.push(line)
    return this.#held.length >= this.#lookAt
  }

  /** What is held back, to be read or refused now. */
  release(): readonly StampedLine[] {
    const held = this.#held
    this.#held = []
    this.#lookAt = SUSPICIOUS
    return held
  }

  /** Whether so many lines are held back that they had better be refused. */
  get isFull(): boolean {
    return this.#held.length >= MOST_HELD
  }

  /**
   * The format with the shape of the refused lines added, and what was concluded from it; null where they have none.
   *
   * @param atEnd no more lines will come
   */
  look(format: LineFormat, atEnd: boolean): { format: LineFormat; conclusions: readonly string[] } | null {
    const held = this.#held
    if (held.length < (atEnd ? SUSPICIOUS_AT_END : SUSPICIOUS)) return null
    this.#lookAt = 2 * held.length
    try {
      const sound = this.#inOrder(held.length)
      const inferred = inferFormat([...sound, ...held], this.#hints)
      const main = format.shapes[0]!
      const added = inferred.format.shapes.filter(
        (shape) =>
          shape.positionGroup === main.positionGroup &&
          shape.tickGroup === main.tickGroup &&
          !format.shapes.some((known) => known.pattern.source === shape.pattern.source),
      )
      const wider = { ...format, shapes: [...format.shapes, ...added] }
      // A message of another kind is no position: the old shape must be one of the new format's as well.
      const alike = mostFit(sound, inferred.format) && inferred.format.sign === format.sign
      if (!alike || !mostFit(held, wider)) return null
      return { format: wider, conclusions: inferred.conclusions }
    } catch (error) {
      if (error instanceof TablepaceError) return null
      throw error
    }
  }

  /** The last sound lines, oldest first, not many more than there are refused ones: either shape must be common. */
  #inOrder(refused: number): StampedLine[] {
    const from = this.#soundCount % REMEMBERED
    const all =
      this.#soundCount <= REMEMBERED
        ? this.#sound
        : [...this.#sound.slice(from), ...this.#sound.slice(0, from)]
    return all.slice(-3 * refused)
  }
}

function mostFit(lines: readonly StampedLine[], format: LineFormat): boolean {
  const read = lines.filter((line) => typeof parseLine(line.text, format) !== 'string')
  return read.length >= FITS_SHARE * lines.length
}
