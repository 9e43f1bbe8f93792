import { expect, test } from 'vitest'
import { inUnit } from '../../../src/page/client/model/typed.js'

test('a bare number keeps its size when it is shown in the other unit', () => {
  expect(inUnit({ text: '7', unit: 'in' }, 'mm')).toBe('177.8')
  expect(inUnit({ text: '177.8', unit: 'mm' }, 'in')).toBe('7')
  expect(inUnit({ text: '2,5', unit: 'in' }, 'mm')).toBe('63.5')
  expect(inUnit({ text: '7', unit: 'in' }, 'in')).toBe('7')
})

test('what names its unit, and what is no number yet, stays as it was typed', () => {
  for (const text of ['7in', '180 mm/min', '', '1/2', '3.', 'x'])
    expect(inUnit({ text, unit: 'in' }, 'mm')).toBe(text === '3.' ? '76.2' : text)
})
