import fc from 'fast-check'
import { expect, it } from 'vitest'
import { wrapLine, wrapText } from '../../src/text/index.js'

it('breaks between words, never between a number and its unit, and sets in what follows', () => {
  expect(wrapLine('the feed is 7.00 in/min', 18, 2)).toEqual(['the feed is', '  7.00 in/min'])
  expect(wrapLine('next time: 4.71 … 4.93 in/min', 20, 0)).toEqual(['next time:', '4.71 … 4.93 in/min'])
  expect(wrapLine('good to ± 1.4 % (95 %: -2.3 … 0.9 %)', 24, 2)).toEqual([
    'good to ± 1.4 %',
    '  (95 %: -2.3 … 0.9 %)',
  ])
  expect(wrapText('  Note: one two\nthree', 12)).toBe('  Note: one\n  two\nthree')
})

it('leaves a command whole, so that it can be pasted', () => {
  const command = 'tablepace axis add X --machine "Bench mill" --travel 20in'
  expect(wrapLine(`no axis yet; add one: ${command}`, 40, 2)).toEqual([
    'no axis yet; add one:',
    `  ${command}`,
  ])
  expect(wrapLine('Make one with `tablepace fit --mixed`, then look.', 24, 0)).toEqual([
    'Make one with',
    '`tablepace fit --mixed`,',
    'then look.',
  ])
})

it('loses nothing and keeps within the width where words do', () => {
  fc.assert(
    fc.property(
      fc.array(fc.stringMatching(/^[a-z.,]{1,12}$/), { minLength: 1, maxLength: 30 }),
      fc.integer({ min: 16, max: 80 }),
      (words, width) => {
        const lines = wrapLine(words.join(' '), width, 2)
        expect(lines.map((line) => line.trim()).join(' ')).toBe(words.join(' '))
        expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(width)
      },
    ),
  )
})
