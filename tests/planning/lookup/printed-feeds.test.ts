import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { seededNormal } from '../../../src/numbers/index.js'
import { dialForFeed, feedAtDial } from '../../../src/planning/index.js'
import { fitAxis } from '../../../src/regression/index.js'
import { formatFeed, parseFeedMmPerMin } from '../../../src/units/index.js'
import { howMany } from '../../harness/proof-mode.js'
import { runsAt } from '../../regression/run-evidence.js'
import { table } from '../sample-tables.js'

/** Relative feeds of a dial over 0…1: straight, saturated, falling, level, and in any order. */
const SHAPES: readonly ((share: number, any: number) => number)[] = [
  (share) => 0.03 + share,
  (share) => Math.min(1, 0.1 + 2 * share),
  (share) => 1.05 - share,
  () => 1,
  (_, any) => 0.05 + any,
]

describe('a feed that the table prints', () => {
  it('is answered by a lookup, whatever the dial, in either unit', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...SHAPES),
        fc.constantFrom('in' as const, 'mm' as const),
        fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 1, maxLength: 7 }),
        fc.integer({ min: 1, max: 3 }),
        fc.boolean(),
        fc.integer({ min: 1, max: 9999 }),
        (shape, unit, order, repeats, stepped, seed) => {
          const normal = seededNormal(seed)
          const runs = runsAt(
            order.map((any, i) => {
              const feed = 600 * shape(order.length > 1 ? i / (order.length - 1) : 1, any)
              return [i, Array.from({ length: repeats }, () => feed * Math.exp(0.01 * normal()))] as const
            }),
          )
          for (const side of fitAxis(runs, { stepped }).directions) {
            const made = table({ ...side, unit, stepped })
            for (const { feedMmPerMin, interval95, dial } of made.marks) {
              const printed = parseFeedMmPerMin(formatFeed(feedMmPerMin, interval95, unit), unit, 'feed')
              expect(Number.isFinite(dialForFeed(made, printed).dial.value)).toBe(true)
              const { interval95: answered } = feedAtDial(made, dial).feed
              if (answered === null || interval95 === null) continue
              expect(answered[0]).toBeLessThanOrEqual(interval95[1])
              expect(answered[1]).toBeGreaterThanOrEqual(interval95[0])
            }
          }
        },
      ),
      { seed: 9, numRuns: howMany(10, 60) },
    )
  })
})
