import { expect, it } from 'vitest'
import { deviateRows } from '../../../src/regression/curve/deviate-rows.js'

it('gives each curve a row of its own, parted by what the deviates are for, the same however many are asked for', () => {
  const row = deviateRows(5, 4, 101)(3)
  expect([row.line, row.features, row.errors, row.bulges, row.stray].map((part) => part.length)).toEqual([
    2, 2, 4, 4, 101,
  ])
  expect(deviateRows(5000, 4, 101)(3)).toEqual(row)
  expect(deviateRows(5, 4, 101)(2).line[0]).not.toBe(row.line[0])
})

it('draws standard normal deviates', () => {
  const rowOf = deviateRows(400, 4, 101)
  const all = Array.from({ length: 400 }, (_, k) => [...rowOf(k).stray]).flat()
  const mean = all.reduce((sum, value) => sum + value, 0) / all.length
  const variance = all.reduce((sum, value) => sum + value * value, 0) / all.length
  // 40,400 draws: the standard errors are 0.005 and 0.007; four of them are allowed.
  expect(Math.abs(mean)).toBeLessThan(0.02)
  expect(Math.abs(variance - 1)).toBeLessThan(0.028)
})
