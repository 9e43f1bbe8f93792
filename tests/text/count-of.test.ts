import { expect, it } from 'vitest'
import { countOf } from '../../src/text/index.js'

it('countOf(count, noun) puts the noun in the plural unless there is one', () => {
  expect([0, 1, 2].map((count) => countOf(count, 'run'))).toEqual(['0 runs', '1 run', '2 runs'])
})
