import type { Way, Wording } from './ways.js'

/** What a person is told: plain words, or a sentence that each face ends in its own way. */
export type Said = string | Sentence

/**
 * A sentence that says what is to be done, in words of the trade, and leaves open how. Each face puts its own way in at
 * its outermost output; whoever knows no face gets a sentence that is whole without.
 */
export class Sentence {
  readonly #parts: readonly (string | Way)[]

  constructor(parts: readonly (string | Way)[]) {
    this.#parts = parts
  }

  get parts(): readonly (string | Way)[] {
    return this.#parts
  }

  /** The sentence with the ways of one face. */
  in(wording: Wording): string {
    return this.#parts.map((part) => (typeof part === 'string' ? part : worded(part, wording))).join('')
  }

  /** The sentence without any way. */
  toString(): string {
    return this.#parts.filter((part) => typeof part === 'string').join('')
  }

  toJSON(): string {
    return this.toString()
  }
}

/** A sentence with ways in it, or with other sentences. @example sentence`Name the machine${way('machine')}.` */
export function sentence(texts: TemplateStringsArray, ...values: readonly (Said | number | Way)[]): Sentence {
  return new Sentence(texts.flatMap((text, index) => [text, ...partsOf(values[index])]))
}

function partsOf(value: Said | number | Way | undefined): readonly (string | Way)[] {
  if (value === undefined) return []
  if (value instanceof Sentence) return value.parts
  return [typeof value === 'object' ? value : String(value)]
}

function worded({ way, about }: Way, wording: Wording): string {
  // `way()` took what this way is about by the type of its name.
  const words = wording[way] as string | ((about: unknown) => string)
  return typeof words === 'string' ? words : words(about)
}
