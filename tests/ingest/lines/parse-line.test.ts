import { expect, test } from 'vitest'
import { inferFormat, parseLine, spreadsheetNumberFormat } from '../../../src/ingest/index.js'

const lines = Array.from({ length: 40 }, (_, i) => ({
  timeS: i / 10,
  text: `X${i < 20 ? '-' : '+'}${(Math.abs(i - 20) / 8).toFixed(5).padStart(9, '0')}`,
}))
const { format } = inferFormat(lines, { axis: 'x', bareUnit: 'in' })

test('parseLine(text, format) reads a whole line to mm', () => {
  // 1 in = 25.4 mm exactly: the international inch; UCUM defines [in_i] as 2.54 cm.
  expect(parseLine('X+001.50000', format)).toEqual({ positionMm: 1.5 * 25.4, ticks: null })
  expect(parseLine('X-010.00000', format)).toEqual({ positionMm: -254, ticks: null })
})

test.each([
  ['X+001.2', 'garbled'],
  ['X+001.500000', 'garbled'],
  ['X001.50000', 'garbled'],
  ['X+01.50000', 'garbled'],
  ['+001.50000', 'garbled'],
  ['Y+001.50000', 'garbled'],
  ['X+001.50000X+001.50000', 'garbled'],
  ['X+001.5\u00000000', 'control-bytes'],
  ['X+001.50000\u001b', 'control-bytes'],
  ['XNaN', 'not-finite'],
  ['X+inf', 'not-finite'],
  ['X OVERFLOW', 'not-finite'],
  [`X+${'9'.repeat(400)}.00000`, 'not-finite'],
  ['', 'blank'],
  [' \t', 'blank'],
])('parseLine(%j) is refused as %s', (text, code) => {
  expect(parseLine(text, format)).toBe(code)
})

test('a number of a spreadsheet may have lost its trailing zeros', () => {
  const lenient = spreadsheetNumberFormat(25.4)
  for (const [text, value] of [
    ['1.5', 1.5],
    ['1', 1],
    ['-.25', -0.25],
    ['1.25E-2', 0.0125],
  ] as const) {
    expect(parseLine(text, lenient)).toEqual({ positionMm: value * 25.4, ticks: null })
  }
  expect(parseLine('1,5', lenient)).toBe('garbled')
})

test('a line without the columns that the format asks for is garbled', () => {
  const [shape] = format.shapes
  const asking = { ...format, shapes: [{ ...shape!, tickGroup: 2 as const }] }
  expect(parseLine('X+001.50000', asking)).toBe('garbled')
})
