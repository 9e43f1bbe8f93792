import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { seededNormal } from '../../src/numbers/index.js'
import type { FittedAxis, MarkFit, RunEvidence } from '../../src/regression/index.js'
import { fitAxis } from '../../src/regression/index.js'
import { howMany } from '../harness/proof-mode.js'

/** Labels, units, the way a dial counts and the order of runs may change no number by more than this. */
const MOST = 1e-3
const DIALS = [0, 1, 2.5, 4, 6, 7, 10]
const SHAPES: readonly ((share: number) => number)[] = [
  (share) => 20 + 500 * share,
  (share) => 30 + 400 * (share < 0.5 ? share : 0.5 + 0.05 * (share - 0.5)),
  (share) => 15 + 300 * share ** 2,
  () => 150,
]

/** Runs of both directions over a dial of 7 marks, or of 3 where `few`. */
function session(seed: number, shape: number, few: boolean): RunEvidence[] {
  const normal = seededNormal(seed)
  const dials = few ? [0, 4, 10] : DIALS
  return ([1, -1] as const).flatMap((direction) =>
    dials.flatMap((dial) =>
      [0, 1, 2].map((k) => {
        const feed = SHAPES[shape]!((dial + 0.04 * normal()) / 10) * Math.exp(0.008 * normal())
        return {
          runId: `${direction}:${dial}:${k}`,
          dial,
          direction,
          feedMmPerMin: feed,
          standardUncertaintyMmPerMin: 2e-4 * feed,
          source: 'readout' as const,
        }
      }),
    ),
  )
}

/** Largest relative difference of feeds and half widths at marks and along the curve. */
function difference(one: FittedAxis, other: FittedAxis, factor: number, backwards: boolean): number {
  let most = 0
  const compare = (a: number, b: number) => {
    most = Math.max(most, Math.abs(b / (factor * a) - 1))
  }
  const half = (interval: MarkFit['interval95']) => (interval![1] - interval![0]) / 2
  for (const [i, side] of one.directions.entries()) {
    const there = other.directions[i]!
    const turned = <T>(points: readonly T[]) => (backwards ? points.toReversed() : points)
    const pairs = [
      ...side.marks.map((mark, k) => [mark, turned(there.marks)[k]!] as const),
      ...side.curve.map((point, k) => [point, turned(there.curve)[k]!] as const),
    ]
    expect(there.curve).toHaveLength(side.curve.length)
    for (const [a, b] of pairs) {
      compare(a.feedMmPerMin, b.feedMmPerMin)
      compare(half(a.interval95), half(b.interval95))
      compare(half(a.nextSetting95), half(b.nextSetting95))
    }
  }
  return most
}

describe('fitAxis(runs, options) and what must not matter', () => {
  const seeds = fc.integer({ min: 1, max: 10_000 })
  const shapes = fc.integer({ min: 0, max: SHAPES.length - 1 })
  const options = { seed: 11, numRuns: howMany(2, 6) }

  it('takes no notice of what number a dial begins with, how it is divided, or which way it counts', () => {
    const label = fc.record({
      from: fc.double({ min: -50, max: 200, noNaN: true }),
      step: fc.constantFrom(0.1, 1, 7.5, -1, -20),
    })
    fc.assert(
      fc.property(seeds, shapes, fc.boolean(), label, (seed, shape, few, { from, step }) => {
        const runs = session(seed, shape, few)
        const renumbered = runs.map((run) => ({ ...run, dial: from + step * run.dial }))
        const [as, re] = [fitAxis(runs, { stepped: false }), fitAxis(renumbered, { stepped: false })]
        expect(difference(as, re, 1, step < 0)).toBeLessThan(MOST)
        expect(re.noise!.dialReset / as.noise!.dialReset / Math.abs(step)).toBeCloseTo(1, 4)
      }),
      options,
    )
  })

  it('takes no notice of the unit, nor of the order of the runs', () => {
    fc.assert(
      fc.property(seeds, shapes, fc.boolean(), (seed, shape, few) => {
        const runs = session(seed, shape, few)
        const larger = runs.toReversed().map((run) => ({
          ...run,
          feedMmPerMin: 25.4 * run.feedMmPerMin,
          standardUncertaintyMmPerMin: 25.4 * run.standardUncertaintyMmPerMin,
        }))
        const [as, re] = [fitAxis(runs, { stepped: false }), fitAxis(larger, { stepped: false })]
        expect(difference(as, re, 25.4, false)).toBeLessThan(MOST)
      }),
      options,
    )
  })

  it('takes no notice of the numbers of a dial of which one mark was measured', () => {
    const at = (dial: number) =>
      fitAxis(
        session(3, 0, true)
          .filter((run) => run.dial === 4)
          .map((run) => ({ ...run, dial })),
        { stepped: false },
      )
    expect(difference(at(4), at(104), 1, false)).toBeLessThan(MOST)
    expect(difference(at(4), at(0), 1, false)).toBeLessThan(MOST)
  })
})
