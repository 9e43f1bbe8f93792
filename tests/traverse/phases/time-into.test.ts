import { expect, it } from 'vitest'
import { timeInto } from '../../../src/traverse/phases/time-into.js'

it('counts from the first sample, whatever the origin of the clock', () => {
  const track = { timeS: Float64Array.of(1.7e9, 1.7e9 + 20), positionMm: Float64Array.of(0, 1) }
  expect(timeInto(track, 1.7e9 + 12.34)).toBe('12.3 s into the recording')
})
