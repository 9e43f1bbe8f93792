import { UsageError } from '../errors/index.js'

/** One range of a dial that has several. */
export interface DialRange {
  /** The axis without its range. */
  readonly of: string
  readonly name: string
}

/**
 * The names of the ranges of a dial, separated by commas: `LO,HI`.
 *
 * @throws UsageError `bad-ranges`
 */
export function parseRangeNames(text: string, what: string): string[] {
  const names = text.split(',').map((name) => name.trim())
  const isWord = names.every((name) => /^[a-z][a-z0-9-]*$/i.test(name))
  const differ = new Set(names.map((name) => name.toLowerCase())).size === names.length
  if (names.length > 1 && isWord && differ) return names
  throw new UsageError(
    'bad-ranges',
    `${what}: "${text}" does not name the ranges of a dial.`,
    'Give two names or more, each a word of its own that begins with a letter: LO,HI or L,M,H.',
  )
}

/**
 * A setting with the range it stands in, `HI 4`, `4 hi` or `LO3`; null where it names none of the ranges.
 *
 * @example rangedSetting('4 hi', ['LO', 'HI']) // { range: 'HI', setting: '4' }
 */
export function rangedSetting(
  text: string,
  ranges: readonly string[],
): { readonly range: string; readonly setting: string } | null {
  const plain = text.trim()
  for (const range of ranges) {
    const [, after, before] =
      new RegExp(`^(?:${range}(?:\\s+(\\S.*)|(\\d.*)))$`, 'i').exec(plain) ??
      new RegExp(`^(?:(\\S.*)\\s+${range}|(.*\\d)${range})$`, 'i').exec(plain) ??
      []
    const setting = after ?? before
    if (setting !== undefined) return { range, setting }
  }
  return null
}

/** What the axis of a range is called. @example rangeAxisName({ of: 'X', name: 'HI' }) // 'X-HI' */
export function rangeAxisName({ of, name }: DialRange): string {
  return `${of}-${name}`
}

/** A setting without the name of this range, where it stands beside it. */
export function withoutRange(text: string, range: DialRange | undefined): string {
  return (range && rangedSetting(text, [range.name])?.setting) ?? text.trim()
}

/** A setting with the range that it stands in before it, `HI 4`, where the dial has several. */
export function settingInRange(setting: string, range: string | undefined): string {
  return range === undefined ? setting : `${range} ${setting}`
}
