import { expect, test } from 'vitest'
import { COMPARED, tableOf } from '../../scripts/proof/shop.js'

// Seed 31: one drawn machine; the campaign over many is `npm run proof:shop`.
test('many settings in one travel make a table in a third of the time of three passes', () => {
  const [passes, plus, stopwatch, sweep] = (['passes', 'passes +', 'stopwatch passes', 'sweep'] as const).map(
    (way) => tableOf('saturating', 31, way, 0.02),
  ) as [Table, Table, Table, Table]
  // Every mark three times, each way or one way.
  expect([passes, plus, stopwatch].map((one) => one.runs)).toEqual([54, 27, 27])
  // One way the table has to come back between runs, so that half of the runs take more than half of the time.
  expect(plus.minutes).toBeGreaterThan(0.5 * passes.minutes)
  expect(plus.minutes).toBeLessThan(0.75 * passes.minutes)
  // Two presses are 30 s apart where a readout needs 20.
  expect(stopwatch.minutes).toBeGreaterThan(1.25 * plus.minutes)
  expect(stopwatch.minutes).toBeLessThan(1.75 * plus.minutes)
  expect(plus.places.length).toBeLessThan(passes.places.length)
  // Every mark twice each way.
  expect(sweep.runs).toBe(36)
  expect(sweep.minutes / passes.minutes).toBeLessThan(0.35)
  const held = sweep.places.filter((place) => place.held).length
  expect(held / sweep.places.length).toBeGreaterThan(0.5)
})

test('a way is compared with three passes that are read alike, in as many directions', () => {
  expect(Object.entries(COMPARED).map(([way, { yardstick, most }]) => [way, yardstick, most])).toEqual([
    ['sweep', 'passes', 0.25],
    ['sweep until', 'passes', 0.25],
    ['single', 'passes', 0.5],
    ['single +', 'passes +', 0.75],
    ['again', 'passes', undefined],
    ['stopwatch', 'stopwatch passes', 0.75],
    ['film', 'stopwatch passes', undefined],
  ])
})

type Table = ReturnType<typeof tableOf>
