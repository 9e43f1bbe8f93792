import { describe, expect, it } from 'vitest'
import { checkRunSentence, noRunSentence, shiftSentence } from '../../src/words/index.js'

const shift = (value: number) => ({ value, interval95: [value - 1, value + 1] as const })
const DAY = {
  session: 'tue',
  ends: null,
  checkRuns: 1,
  runs: 1,
  dials: [5],
  isUneven: false,
  lettered: false,
}

describe('shiftSentence(day)', () => {
  it('says what one check run shows', () => {
    expect(shiftSentence({ ...DAY, shift: shift(-2.1) })).toBe(
      'today 2.1 % slower than the table (95 %: -3.1 … -1.1 %), from one check run at 5 in session tue',
    )
    expect(shiftSentence({ ...DAY, shift: shift(0.02), checkRuns: 0 })).toBe(
      'today as fast as the table (95 %: -1.0 … +1.0 %), from one run at 5 in session tue',
    )
  })

  it('tells slow and fast settings apart where they are', () => {
    const two = { ...DAY, checkRuns: 2, runs: 2, dials: [2, 10], shift: shift(-1) }
    const ends = (slow: number, fast: number) =>
      [
        { dial: 2, shift: shift(slow) },
        { dial: 10, shift: shift(fast) },
      ] as const
    expect(shiftSentence({ ...two, ends: ends(-3, 0.3) })).toBe(
      'today 3.0 % slower than the table at 2 (95 %: -4.0 … -2.0 %) and 0.3 % faster at 10 (95 %: -0.7 … +1.3 %), from 2 check runs at 2, 10 in session tue',
    )
    expect(shiftSentence({ ...two, ends: ends(0, -2) })).toContain(
      'as fast as the table at 2 (95 %: -1.0 … +1.0 %) and 2.0 % slower at 10 (',
    )
    expect(shiftSentence({ ...two, ends: ends(-1.2, -0.9) })).toContain('today 1.0 % slower than the table (')
  })
})

it('checkRunSentence(worth) says at which mark to run, and what for', () => {
  expect(checkRunSentence({ dial: 4, halfWidth: 0.034, lettered: false })).toBe(
    'no run in this session yet (a pause of 6 hours begins a new one): a check run at 4 in this direction would narrow that to about ± 3.4 %',
  )
})

it('a session that was asked for by its name is named where it has no run', () => {
  expect(noRunSentence('tue')).toBe('session tue has no run that tells of this table')
  expect(checkRunSentence({ dial: 4, halfWidth: 0.034, lettered: false }, 'tue')).toBe(
    'session tue has no run that tells of this table: a check run at 4 in this direction would narrow that to about ± 3.4 %',
  )
})
