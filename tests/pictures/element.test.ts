import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { element } from '../../src/pictures/element.js'
import { readXml, textOf } from './read-xml.js'

/** Text of any code points, unpaired surrogates among them. */
const codePoint = fc.oneof(
  fc.integer({ min: 0, max: 0x7f }),
  fc.integer({ min: 0, max: 0xffff }),
  fc.integer({ min: 0, max: 0x10ffff }),
)
const anyText = fc.array(codePoint).map((points) => String.fromCodePoint(...points))

describe('element(name, attributes, children)', () => {
  it('writes text and attributes that any text comes back from', () => {
    // Unpaired surrogates and control characters have no place in XML 1.0 and come back as U+FFFD.
    fc.assert(
      fc.property(anyText, (text) => {
        const { name, attributes, children } = readXml(element('text', { id: text }, [text]).svg)
        const kept = text.replace(/(?![\t\n\r])\p{Cc}|\p{Cs}|[\ufffe\uffff]/gu, '\ufffd')
        expect(name).toBe('text')
        expect(attributes.id).toBe(kept)
        expect(children).toEqual(text === '' ? [] : [kept])
      }),
    )
  })

  it('does not let text end an element or begin one', () => {
    const { svg } = element('text', {}, ['</text><script>alert(1)</script>'])
    expect(svg).not.toContain('<script')
    expect(textOf(readXml(svg))).toBe('</text><script>alert(1)</script>')
  })

  it('rounds numbers to a hundredth and leaves out what is undefined', () => {
    expect(element('line', { x1: 1 / 3, x2: 2, dashes: undefined }).svg).toBe('<line x1="0.33" x2="2"/>')
  })
})
