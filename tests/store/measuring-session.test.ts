import { describe, expect, it } from 'vitest'
import { dateOf, presentSession, sessionByDate } from '../../src/store/measuring-session.js'

/** Local time, as the names by date are. */
const at = (day: number, hour: number) => new Date(2026, 2, day, hour).toISOString()
const made = (sessionName: string, startedAt: string) => ({ sessionName, startedAt })

describe('sessionByDate(earlier, startedAt)', () => {
  it('is the date of the first run, also past midnight', () => {
    expect(sessionByDate([], at(2, 9))).toBe('2026-03-02')
    expect(sessionByDate([made('2026-03-02', at(2, 22))], at(3, 1))).toBe('2026-03-02')
    expect(sessionByDate([made('2026-03-02', at(2, 22))], at(3, 9))).toBe('2026-03-03')
  })

  it('is another after a long pause within a day', () => {
    const morning = made('2026-03-02', at(2, 7))
    expect(sessionByDate([morning], at(2, 12))).toBe('2026-03-02')
    expect(sessionByDate([morning], at(2, 15))).toBe('2026-03-02 (2)')
    expect(sessionByDate([morning, made('2026-03-02 (2)', at(2, 15))], at(2, 16))).toBe('2026-03-02 (2)')
  })

  it('goes on where a clock that was days ahead was put right between two runs', () => {
    const ahead = made('2026-03-09', at(9, 9))
    expect(sessionByDate([ahead], at(2, 9))).toBe('2026-03-02')
    expect(sessionByDate([ahead, made('2026-03-02', at(2, 9))], at(2, 10))).toBe('2026-03-02')
    expect(presentSession([ahead, made('2026-03-02', at(2, 9))], at(2, 10))).toBe('2026-03-02')
    // An hour back, as at the end of summer time, is one session.
    expect(sessionByDate([made('2026-03-02', at(2, 10))], at(2, 9))).toBe('2026-03-02')
  })

  it('goes by itself beside sessions that were named', () => {
    expect(sessionByDate([made('warm shop', at(2, 9))], at(2, 10))).toBe('2026-03-02')
  })
})

describe('presentSession(recordings, now)', () => {
  it('is that of the latest recording, named or not, while it is not long ago', () => {
    const recordings = [made('warm shop', at(2, 10)), made('2026-03-02', at(2, 9))]
    expect(presentSession(recordings, at(2, 12))).toBe('warm shop')
    expect(presentSession(recordings, at(2, 20))).toBeNull()
    expect(presentSession([], at(2, 12))).toBeNull()
  })
})

it('dateOf(iso) is the date on the wall', () => {
  expect(dateOf(at(9, 0))).toBe('2026-03-09')
})
