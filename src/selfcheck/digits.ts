/** Digits by which two doubles can agree (by definition: 15 are always kept). */
const MOST_DIGITS = 15

/**
 * How many significant digits of `got` are right: −log10 of the relative error, 0…15. Where 0 is expected there
 * is no relative error, and `scale` says what size the quantity might have had.
 *
 * @example agreeingDigits(2, 2.0002) // 4
 */
export function agreeingDigits(expected: number, got: number, scale = 1): number {
  if (!Number.isFinite(got)) return 0
  const error = Math.abs(got - expected) / (expected === 0 ? scale : Math.abs(expected))
  return error === 0 ? MOST_DIGITS : Math.min(MOST_DIGITS, Math.max(0, -Math.log10(error)))
}

/**
 * The digits a printed value can bear: half a unit of its last decimal, as a relative error. Cut down to
 * hundredths, so that a value that lies just at the half still agrees. JSON drops zeros at the end, which
 * only makes this ask for less.
 *
 * @example printedDigits(0.0029) // 1.76
 */
export function printedDigits(printed: number): number {
  if (printed === 0) return 0
  const [mantissa = '', exponent = '0'] = String(Math.abs(printed)).split('e')
  const decimals = (mantissa.split('.')[1] ?? '').length - Number(exponent)
  return Math.floor(100 * Math.log10(Math.abs(printed) / (0.5 * 10 ** -decimals))) / 100
}
