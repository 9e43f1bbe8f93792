/** How a stream writes one of its numbers. */
export interface NumberShape {
  readonly sign: 'always' | 'free'
  /** Digits after the decimal mark, or null where trailing zeros are dropped. */
  readonly decimals: number | null
  /** The most digits seen after the mark in a shape without fixed decimals. */
  readonly mostDecimals: number
  /** Digits in front of the mark at least, where leading zeros fill the field; else 1. */
  readonly leadingDigits: number
  /** Digits of the exponent, 0 for none. */
  readonly exponentDigits: number
}

/** What may stand between the parts of a line; other white space is damage. */
export const BLANKS = '[ \\t]'

const PARTS = /^([+-]?)\s*(\d*)(?:[.,](\d*))?(?:[eE][+-]?(\d+))?$/

/**
 * Share of agreement demanded before a habit of the stream counts as its rule. Judgement: one number in twenty may
 * be damaged.
 */
const RULE_SHARE = 0.95
/**
 * Different numbers without a trailing zero before zeros are taken to be dropped. Derived: of numbers that keep
 * them a tenth ends in 0, and 0.9^40 is 1.5 %.
 */
const DISTINCT_WITHOUT_ZERO = 40

/**
 * Learns the shape of a number from all that a stream wrote in one place, damaged ones among them.
 * Every text weighs by the square root of how often it came, so that neither a long rest at one
 * value nor a handful of cut numbers decides alone.
 */
export function learnNumberShape(texts: Iterable<string>): NumberShape {
  const counts = new Map<string, number>()
  for (const text of texts) counts.set(text, (counts.get(text) ?? 0) + 1)
  const numbers = [...counts].flatMap(([text, count]) => {
    const match = PARTS.exec(text)
    if (match === null) return []
    const [, sign, digits, decimals, exponent] = match
    const parts = { sign: sign!, digits: digits!, decimals: decimals ?? '', exponent: exponent ?? '' }
    return [{ ...parts, weight: Math.sqrt(count) }]
  })
  const exponentDigits = heaviest(numbers, (number) => number.exponent.length)
  const alike = numbers.filter((number) => number.exponent.length === exponentDigits)
  const usual = heaviest(alike, (number) => number.decimals.length)
  const mostDecimals = longestCommon(alike)
  const dropsZeros = dropsTrailingZeros(alike, mostDecimals)
  const kept = dropsZeros ? alike : alike.filter((number) => number.decimals.length === usual)
  const notMinus = kept.filter((number) => number.sign !== '-')
  const plus = share(notMinus, (number) => number.sign === '+')
  const width = heaviest(kept, (number) => number.digits.length)
  const padded =
    share(kept, (number) => number.digits.length === width) >= RULE_SHARE &&
    kept.some((number) => number.digits.length === width && width > 1 && number.digits.startsWith('0'))
  return {
    sign: notMinus.length > 0 && plus >= RULE_SHARE ? 'always' : 'free',
    decimals: dropsZeros ? null : usual,
    mostDecimals: dropsZeros ? mostDecimals : usual,
    leadingDigits: padded ? width : share(kept, (number) => number.digits === '') >= 1 - RULE_SHARE ? 0 : 1,
    exponentDigits,
  }
}

/** The pattern, without anchors, of numbers of this shape. */
export function numberPattern(shape: NumberShape, decimalMark: '.' | ','): string {
  const mark = decimalMark === '.' ? '\\.' : ','
  const sign = shape.sign === 'always' ? '[+-]' : '[+-]?'
  const digits = shape.leadingDigits === 0 ? '\\d*' : `\\d{${shape.leadingDigits},}`
  const decimals =
    shape.decimals === null
      ? `(?:${mark}\\d{1,${shape.mostDecimals}})?`
      : shape.decimals > 0
        ? `${mark}\\d{${shape.decimals}}`
        : ''
  const exponent = shape.exponentDigits > 0 ? `[eE][+-]?\\d{${shape.exponentDigits}}` : ''
  return `${sign}${BLANKS}*${digits}${decimals}${exponent}`
}

interface WeighedNumber {
  readonly sign: string
  readonly digits: string
  readonly decimals: string
  readonly exponent: string
  readonly weight: number
}

function dropsTrailingZeros(numbers: readonly WeighedNumber[], most: number): boolean {
  const longest = numbers.filter((number) => number.decimals.length === most)
  const shorter = share(numbers, (number) => number.decimals.length < most)
  return (
    shorter >= 1 - RULE_SHARE &&
    longest.length >= DISTINCT_WITHOUT_ZERO &&
    longest.every((number) => !number.decimals.endsWith('0'))
  )
}

/** The largest count of decimals that is not a freak. */
function longestCommon(numbers: readonly WeighedNumber[]): number {
  const lengths = [...new Set(numbers.map((number) => number.decimals.length))].sort((a, b) => b - a)
  return lengths.find((length) => share(numbers, (number) => number.decimals.length === length) >= 0.05) ?? 0
}

/** The key with the most weight; of equal ones the larger. */
function heaviest(numbers: readonly WeighedNumber[], key: (number: WeighedNumber) => number): number {
  const weights = new Map<number, number>()
  for (const number of numbers) weights.set(key(number), (weights.get(key(number)) ?? 0) + number.weight)
  let best = 0
  let bestWeight = 0
  for (const [value, weight] of weights) {
    if (weight > bestWeight || (weight === bestWeight && value > best)) {
      best = value
      bestWeight = weight
    }
  }
  return best
}

function share(numbers: readonly WeighedNumber[], test: (number: WeighedNumber) => boolean): number {
  let all = 0
  let passed = 0
  for (const number of numbers) {
    all += number.weight
    if (test(number)) passed += number.weight
  }
  return all > 0 ? passed / all : 0
}
