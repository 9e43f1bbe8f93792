import { h, options, type VNode } from 'preact'
import { expect, onTestFinished, test } from 'vitest'
import { printedMinus, showMinusSigns } from '../../../src/page/client/printed-minus.js'

test('a negative number gets the minus sign, wherever it stands in a sentence', () => {
  expect(printedMinus('-1.66 % (95 %: -2.34 … -0.97 %)')).toBe('−1.66 % (95 %: −2.34 … −0.97 %)')
  expect(printedMinus('by -0.3 of the dial')).toBe('by −0.3 of the dial')
})

test('a hyphen within a word, a date or a range stays', () => {
  for (const text of [
    '2026-11-26',
    'X-LO',
    'half-inch',
    'a 3-axis mill',
    'no. 4-2',
    'store-2.db',
    '- to the left',
  ])
    expect(printedMinus(text)).toBe(text)
})

test('elements show it, but not where somebody else wrote the text, and no field changes', () => {
  const { vnode } = options
  onTestFinished(() => void Object.assign(options, { vnode }))
  showMinusSigns()
  const shown = ({ props }: VNode<object>): unknown => 'children' in props && props.children
  expect(shown(h('p', {}, 'off by ', -2, ' or ', '-3'))).toEqual(['off by ', '−2', ' or ', '−3'])
  expect(shown(h('code', {}, '-3'))).toBe('-3')
  expect(h('input', { value: '-3' }).props).toMatchObject({ value: '-3' })
})
