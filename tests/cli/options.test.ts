import { describe, expect, it } from 'vitest'
import { parseDate, parseDirection, parsePercent, parseTags } from '../../src/cli/options.js'

describe('options as users write them', () => {
  it('reads directions by sign or word', () => {
    expect(['+', 'plus'].map((text) => parseDirection(text))).toEqual([1, 1])
    expect(['-', 'minus'].map((text) => parseDirection(text))).toEqual([-1, -1])
    expect(() => parseDirection('left')).toThrow(/left/)
  })

  it('reads percentages above 0 up to 50, with or without their sign', () => {
    expect(['3', '3%', '2.5 % ', '50'].map((text) => parsePercent(text, '--within'))).toEqual([3, 3, 2.5, 50])
    for (const text of ['0', '-2', '51%']) {
      const refused = expect.objectContaining({
        code: 'bad-percent',
        message: `--within: "${text}" is not above 0 and at most 50 percent.`,
      })
      expect(() => parsePercent(text, '--within')).toThrow(refused)
    }
  })

  it('reads tags with equals signs in their values, and dates', () => {
    expect(parseTags(['load=free', 'note=a=b'])).toEqual({ load: 'free', note: 'a=b' })
    expect(() => parseTags(['free'])).toThrow(/key=value/)
    expect(parseDate('2026-11-20')).toBe('2026-11-20T00:00:00.000Z')
    expect(() => parseDate('last week')).toThrow(/--since/)
  })
})
