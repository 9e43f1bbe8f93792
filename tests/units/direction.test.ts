import { readdirSync, readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { directionSign, directionWord, printedSign } from '../../src/units/index.js'

test('a direction as it is typed, as it is printed, and as a word', () => {
  expect([1, -1].map((direction) => directionSign(direction as 1 | -1))).toEqual(['+', '-'])
  // U+2212, as wide as the plus.
  expect([1, -1].map((direction) => printedSign(direction as 1 | -1))).toEqual(['+', '\u2212'])
  expect(([1, -1, '+', '-'] as const).map(directionWord)).toEqual(['plus', 'minus', 'plus', 'minus'])
})

test('nothing else puts a direction in words', () => {
  const others = readdirSync('src', { recursive: true, encoding: 'utf8' }).filter(
    (file) =>
      /\.tsx?$/.test(file) &&
      file !== 'units/direction.ts' &&
      /\? ['"](\+|plus)['"] : ['"](-|−|minus)['"]/.test(readFileSync(`src/${file}`, 'utf8')),
  )
  expect(others).toEqual([])
})
