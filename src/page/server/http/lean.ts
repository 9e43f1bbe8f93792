/**
 * Digits of a number that the page draws and shows with four: the others are noise, which nothing compresses and which
 * would be a third of all that the page loads.
 */
const DIGITS_SENT = 9

/** The same with numbers of as many digits as the page has a use for, for an answer that holds thousands of them. */
export function lean<T>(answer: T): T {
  return JSON.parse(JSON.stringify(answer, shortened)) as T
}

/** Times keep their digits: a clock may have run for months. */
function shortened(name: string, value: unknown): unknown {
  return typeof value === 'number' && !Number.isInteger(value) && !name.endsWith('S')
    ? Number(value.toPrecision(DIGITS_SENT))
    : value
}
