import type { LineFormat } from './line-format.js'
import { type LineTokens, lineTokenizer } from './line-tokens.js'

/** A number of the lines that is not the position: its label, or which number of the line it is, from 1. */
export type OtherNumber =
  | { readonly label: string; readonly place: null }
  | { readonly label: null; readonly place: number }

/**
 * Travel of another number, mm, at which it is taken to be an axis under way. Judgement: farther than a locked slide
 * creeps, less than a run.
 */
const UNDER_WAY_MM = 2
/** How far a number may flicker and still stand, mm. Judgement: several steps of any readout. */
const STANDS_MM = 0.05
/** Rest before a move that tells an axis from a clock, which never rests, s. Judgement: several lines of any readout. */
const SHORTEST_REST_S = 1
/**
 * Lines in which a number moves on before it counts. Judgement: one late position must not make the asked axis look still,
 * and a number that is set to zero moves in one line only.
 */
const FEWEST_LINES = 4

interface Followed {
  /** Where it last stood still, and since when. */
  stillValue: number
  stillSinceS: number
  /** Where it left its rest, and where the asked axis was then; null while it rests. */
  left: { readonly value: number; readonly positionMm: number; lines: number } | null
}

/**
 * Sees in the lines of a readout that another axis moves while the asked one stands still. Fed with lines and with the
 * positions read from them; tells each other axis once, until `forget`.
 */
export class OtherAxisWatch {
  readonly #read: (text: string) => LineTokens
  readonly #mmPerNumber: number
  readonly #decimalMark: '.' | ','
  readonly #numbers = new Map<string, Followed>()
  readonly #told = new Set<string>()
  #positionMm: number | null = null

  /** @param axis name of the asked axis */
  constructor(format: LineFormat, axis: string) {
    this.#read = lineTokenizer(format.decimalMark, axis)
    this.#decimalMark = format.decimalMark
    this.#mmPerNumber = Math.abs(format.shapes[0]?.mmPerNumber ?? 1)
  }

  /** The position of the asked axis, mm. */
  position(positionMm: number): void {
    this.#positionMm = positionMm
  }

  /** Tells of every other axis anew. */
  forget(): void {
    this.#told.clear()
  }

  /** Takes the next line; gives the number that moves while the asked axis stands, else null. */
  line(timeS: number, text: string): OtherNumber | null {
    const { numbers } = this.#read(text)
    let found: OtherNumber | null = null
    for (const [index, { text: digits, label }] of numbers.entries()) {
      const value = Number(digits.replace(/\s+/g, '').replace(this.#decimalMark, '.')) * this.#mmPerNumber
      const other: OtherNumber =
        label === null ? { label, place: index + 1 } : { label: label.toUpperCase(), place: null }
      if (
        !Number.isFinite(value) ||
        !this.#moves(timeS, `${numbers.length} ${other.label ?? other.place}`, value)
      )
        continue
      found ??= other
    }
    return found
  }

  #moves(timeS: number, key: string, value: number): boolean {
    const known = this.#numbers.get(key)
    if (known === undefined) {
      this.#numbers.set(key, { stillValue: value, stillSinceS: timeS, left: null })
      return false
    }
    const restedS = timeS - known.stillSinceS
    if (Math.abs(value - known.stillValue) <= STANDS_MM) {
      if (restedS >= SHORTEST_REST_S) known.left = null
      return false
    }
    const rested = known.left === null && restedS >= SHORTEST_REST_S
    if (rested && this.#positionMm !== null) {
      known.left = { value: known.stillValue, positionMm: this.#positionMm, lines: 0 }
    }
    known.stillValue = value
    known.stillSinceS = timeS
    return known.left !== null && this.#underWay(key, value, known.left)
  }

  #underWay(key: string, value: number, left: NonNullable<Followed['left']>): boolean {
    left.lines += 1
    if (Math.abs(value - left.value) < UNDER_WAY_MM || left.lines < FEWEST_LINES) return false
    const stands = Math.abs((this.#positionMm ?? 0) - left.positionMm) <= STANDS_MM
    if (!stands || this.#told.has(key)) return false
    this.#told.add(key)
    return true
  }
}
