import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { escapedJson, refuseControls, withoutControls } from '../../src/text/index.js'

/** One of each kind: C0, DEL, C1 (CSI), direction of text, separators. */
const CONTROLS = ['\u0000', '\u0007', '\u001b', '\u007f', '\u009b', '\u202e', '\u2066', '\u200f', '\u2028']

describe('withoutControls(text)', () => {
  it('leaves a mark where each stood, and text and its lay-out alone', () => {
    expect(withoutControls('a\u001b[31mb\u009bc\u202ed')).toBe('a\ufffd[31mb\ufffdc\ufffdd')
    expect(withoutControls('½ 7″ Fräse\n\tнож\r\n')).toBe('½ 7″ Fräse\n\tнож\r\n')
    expect(withoutControls('over\rwritten')).toBe('over\ufffdwritten')
  })

  it('lets no control character through, whatever the text', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        expect(withoutControls(text).replaceAll('\r\n', '')).not.toMatch(
          /(?![\t\n])[\p{Cc}\p{Bidi_Control}]/u,
        )
      }),
    )
  })
})

describe('escapedJson(json)', () => {
  it('is the same document, with no control character in it', () => {
    fc.assert(
      fc.property(fc.array(fc.string({ unit: 'binary' })), (texts) => {
        const json = escapedJson(JSON.stringify([...texts, ...CONTROLS]))
        expect(JSON.parse(json)).toEqual([...texts, ...CONTROLS])
        expect(json).not.toMatch(/[\p{Cc}\p{Bidi_Control}]/u)
      }),
    )
  })
})

describe('refuseControls(text, what)', () => {
  it('refuses each of them, and names what and which', () => {
    for (const control of [...CONTROLS, '\n', '\t', '\ufdd0'])
      expect(() => refuseControls(`mill${control}`, 'The name of a machine')).toThrow(
        /^The name of a machine/,
      )
    expect(() => refuseControls('a\u009b', 'A note')).toThrow(/U\+009B/)
    refuseControls('Fräse №1, 7″ (½ in) نجار', 'A note')
  })
})
