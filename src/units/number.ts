import { UsageError } from '../errors/index.js'

/**
 * Largest and smallest size of a number that is taken, whatever its unit: beyond them no clock, machine or count goes
 * (microseconds since 1970 are 2e15), and sums of squares stay far from where arithmetic ends.
 */
const MOST = 1e16
const LEAST = 1e-12

/** Fractions that have a character of their own (Unicode 15.0, Number Forms and Latin-1 Supplement). */
const VULGAR: Readonly<Record<string, string>> = {
  '½': '1/2',
  '⅓': '1/3',
  '⅔': '2/3',
  '¼': '1/4',
  '¾': '3/4',
  '⅛': '1/8',
  '⅜': '3/8',
  '⅝': '5/8',
  '⅞': '7/8',
}
/** The characters of `VULGAR`, for the inside of a character class. */
export const VULGAR_FRACTIONS = Object.keys(VULGAR).join('')

const PLAIN = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:e[+-]?\d+)?$/i
/** `3 1/2`, `3-1/2`, `1/4`, with or without a sign in front. */
const FRACTION = /^([+-]?)(?:(\d+)(?:\s+|\s*-\s*))?(\d+)\/(\d+)$/
/** A comma that may part thousands just as well: `1,200` is twelve hundred to one reader and 1.2 to another. */
const AMBIGUOUS_COMMA = /^[+-]?[1-9]\d{0,2},\d{3}$/

const NUMBERS_READ = 'Numbers are read as 3, 3.5, 3,5, 3 1/2, 3-1/2 or 3½.'

/**
 * Reads one number as people write it: `3.5` or `3,5`, fractions as `3 1/2`, `3-1/2`, `3½`, `1/4`, a typographic minus,
 * exponents. Refuses everything else, so that no unit and no comma is ever silently dropped.
 *
 * @param what names the value in the error, for example `--distance`
 * @throws UsageError `bad-number`
 * @example parseNumber('3-1/2', 'dial') // 3.5
 */
export function parseNumber(text: string, what: string): number {
  refuseEmpty(text, what)
  const plain = plainNumber(text)
  if (AMBIGUOUS_COMMA.test(plain)) {
    throw new UsageError(
      'bad-number',
      `${what}: "${text}" can be read as ${plain.replace(',', '')} or as ${Number(plain.replace(',', '.'))}.`,
      'Write the decimal mark as a point, and no mark between thousands.',
    )
  }
  const value = numberIn(plain)
  if (value === null)
    throw new UsageError('bad-number', `${what}: "${text}" is not a number.`, hintFor(plain))
  if (value !== 0 && !(Math.abs(value) <= MOST && Math.abs(value) >= LEAST)) {
    throw new UsageError(
      'bad-number',
      `${what}: "${text}" is ${Math.abs(value) > MOST ? 'larger' : 'smaller'} than anything on a machine.`,
      'Check its digits and its exponent.',
    )
  }
  return value
}

/** @throws UsageError `bad-number` where nothing was entered */
export function refuseEmpty(text: string, what: string, hint = NUMBERS_READ): void {
  if (text.trim() === '') throw new UsageError('bad-number', `${what}: enter a number.`, hint)
}

/**
 * The parts of numbers separated by commas, such as the marks of a dial, still as text; the comma is no decimal mark
 * here. Where semicolons separate them it is one. Blanks alone will do where no number is a fraction.
 *
 * @throws UsageError `bad-number` for another separator, or two with nothing between them
 * @example listParts('1, 2, 3½', '--marks') // ['1', '2', '3½']
 * @example listParts('1,5; 2,5', '--marks') // ['1,5', '2,5']
 */
export function listParts(text: string, what: string): string[] {
  if (/^[-+−\d.\s]+$/.test(text) && !/\.\./.test(text)) return text.trim().split(/\s+/)
  const parts = text.split(text.includes(';') ? ';' : ',').map((part) => part.trim())
  const other = parts.find(
    (part) => /\d\s+\d+(?:\.\d+)?(?:\s|$)/.test(part) || (part === '' && parts.length > 1),
  )
  if (other === undefined) return parts
  throw new UsageError('bad-number', `${what}: "${text}" is not a list of numbers.`, separatedByCommas(text))
}

/** How a list is to be written: as it stands with commas in it, where no fraction or decimal comma makes that doubtful. */
function separatedByCommas(text: string): string {
  const isPlain = !/[/;]/.test(text) && !RegExp(`[${VULGAR_FRACTIONS}]`).test(text)
  const written = text
    .trim()
    .split(/[,\s]+/)
    .join(',')
  return isPlain
    ? `Separate the numbers by commas: ${written}.`
    : 'Separate the numbers by commas, such as 1, 2 1/2, 3½, 5.'
}

/** The text with its fraction characters and its minus sign written out. */
function plainNumber(text: string): string {
  let plain = text.trim().replace(/^[−–]/, '-')
  for (const [glyph, fraction] of Object.entries(VULGAR)) plain = plain.replace(glyph, ` ${fraction}`)
  // `-½` is minus a half, not a minus apart from it.
  return plain.trim().replace(/^([+-])\s+/, '$1')
}

function numberIn(plain: string): number | null {
  const [, sign, whole, above, below] = FRACTION.exec(plain) ?? []
  const point = /^[+-]?\d*,\d+$/.test(plain) ? plain.replace(',', '.') : plain
  const value =
    below !== undefined
      ? (sign === '-' ? -1 : 1) * (Number(whole ?? 0) + Number(above) / Number(below))
      : PLAIN.test(point)
        ? Number(point)
        : Number.NaN
  return Number.isFinite(value) ? value : null
}

function hintFor(plain: string): string {
  return /\d[.,]\d+[.,]\d/.test(plain)
    ? 'Write the decimal mark as a point, and no mark between thousands, such as 1200.5.'
    : NUMBERS_READ
}
