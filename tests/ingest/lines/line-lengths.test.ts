import { expect, test } from 'vitest'
import { LineLengths } from '../../../src/ingest/lines/line-lengths.js'

test('LineLengths keeps nothing while all lines are alike, and every one once they are not', () => {
  const lengths = new LineLengths()
  expect(lengths.values()).toBeNull()
  for (const bytes of [7, 7, 7]) lengths.push(bytes)
  expect(lengths.values()).toBeNull()
  for (const bytes of [8, 7]) lengths.push(bytes)
  expect([...lengths.values()!]).toEqual([7, 7, 7, 8, 7])
})
