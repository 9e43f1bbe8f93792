import { expect, test } from 'vitest'
import { straightLine } from '../../../src/numbers/index.js'
import { slopeOfDecay } from '../../../src/traverse/phases/slope-of-decay.js'

test.each([0.003, 0.01, 0.5, 1, 5, 30])('slopeOfDecay(%f) is the slope of a line through −e^(−t)', (span) => {
  const times = Array.from({ length: 4000 }, (_, i) => ((i + 0.5) * span) / 4000)
  const line = straightLine(
    times,
    times.map((time) => -Math.exp(-time)),
  )
  expect(slopeOfDecay(span)).toBeCloseTo(line.slope, 5)
})
