import { linearRegression } from 'simple-statistics'
import { expect, test } from 'vitest'
import { lineAt, straightLine } from '../../src/numbers/index.js'
import { blockMeans } from '../../src/traverse/index.js'
import { seededUniform } from '../traverse/simulated-traverse.js'

test('straightLine agrees with simple-statistics linearRegression', () => {
  const uniform = seededUniform(2)
  const times = Array.from({ length: 100 }, (_, i) => i + uniform())
  const positions = times.map((t) => 3 - 0.7 * t + uniform())
  const reference = linearRegression(times.map((t, i) => [t, positions[i]!]))
  const line = straightLine(times, positions)
  expect(line.slope).toBeCloseTo(reference.m, 12)
  expect(lineAt(line, 0)).toBeCloseTo(reference.b, 10)
  expect(line.samples).toBe(100)
})

test('straightLine of an exact line in Unix seconds keeps its slope', () => {
  const times = Float64Array.from({ length: 300 }, (_, i) => 1_700_000_000 + 0.25 * i)
  const line = straightLine(
    times,
    times.map((t) => 4.8 * (t - 1_700_000_000)),
  )
  expect(line.slope).toBeCloseTo(4.8, 12)
})

test('straightLine has slope 0 without any spread of time, and takes a window', () => {
  expect(straightLine([5, 5, 5], [1, 2, 3]).slope).toBe(0)
  expect(straightLine([0, 1, 2, 3], [9, 1, 2, 9], 1, 3).slope).toBe(1)
})

test('straightLine of a fall is that of the rise turned round', () => {
  const x = [0, 1, 3, 4]
  const y = [1, 0, 5, 2]
  const rise = straightLine(x, y)
  const fall = straightLine(
    x,
    y.map((value) => -value),
  )
  expect(fall.slope).toBe(-rise.slope)
  expect(fall.residualSumOfSquares).toBe(rise.residualSumOfSquares)
})

test('straightLine tells the scatter about it, by hand: residuals 1/2, -1, 1/2 about y = 3/2 x', () => {
  const line = straightLine([0, 1, 2], [0.5, 0.5, 3.5])
  expect(line).toEqual({
    meanX: 1,
    meanY: 1.5,
    slope: 1.5,
    residualSumOfSquares: 1.5,
    sumOfSquaresX: 2,
    samples: 3,
  })
  expect(lineAt(line, 4)).toBe(6)
})

test('straightLine of one point is level, of none and of what is not a number NaN', () => {
  expect(straightLine([3], [7])).toMatchObject({ slope: 0, meanX: 3, meanY: 7, residualSumOfSquares: 0 })
  expect(straightLine([], []).meanY).toBeNaN()
  expect(straightLine([0, 1], [0, Number.NaN]).slope).toBeNaN()
  expect(lineAt(straightLine([0, 1, 2], [1, 3, 5]), 4)).toBe(9)
})

test('blockMeans leaves short series alone but for their origin and keeps lines lines', () => {
  expect([...blockMeans([10, 11], [3, 5], 8).positionMm]).toEqual([0, 2])
  const times = Float64Array.from({ length: 1000 }, (_, i) => i)
  const blocks = blockMeans(
    times,
    times.map((t) => 2 * t + 7),
    64,
  )
  expect(blocks.timeS.length).toBe(64)
  for (const [i, time] of blocks.timeS.entries()) expect(blocks.positionMm[i]).toBeCloseTo(2 * time, 9)
  expect(blockMeans([], [], 8).timeS.length).toBe(0)
})
