import { expect, it } from 'vitest'
import { statedLength } from '../../../src/cli/readout/learn-options.js'

it('statedLength reads an angle as that of an axis that turns, which need not be in the store', () => {
  expect(statedLength('90deg', '0.5deg', null)).toEqual({ lengthMm: 90, errorMm: 0.5, rotary: true })
  expect(statedLength("12° 30'", undefined, 'deg')).toEqual({ lengthMm: 12.5, errorMm: 0.125, rotary: true })
  expect(statedLength('10mm', '0.02mm', 'in')).toEqual({ lengthMm: 10, errorMm: 0.02 })
  expect(() => statedLength('90', undefined, null)).toThrow(/"90" has no unit/)
  expect(() => statedLength('10mm', undefined, 'deg')).toThrow(/"10mm" is a length, and here an angle/)
})
