import { describe, expect, it } from 'vitest'
import { parseDate, parseDirection, parseTags } from '../../src/cli/options.js'

describe('options as users write them', () => {
  it('reads directions by sign or word', () => {
    expect(['+', 'plus'].map((text) => parseDirection(text))).toEqual([1, 1])
    expect(['-', 'minus'].map((text) => parseDirection(text))).toEqual([-1, -1])
    expect(() => parseDirection('left')).toThrow(/left/)
  })

  it('reads tags with equals signs in their values, and dates', () => {
    expect(parseTags(['load=free', 'note=a=b'])).toEqual({ load: 'free', note: 'a=b' })
    expect(() => parseTags(['free'])).toThrow(/key=value/)
    expect(parseDate('2026-11-20')).toBe('2026-11-20T00:00:00.000Z')
    expect(() => parseDate('last week')).toThrow(/--since/)
  })
})
