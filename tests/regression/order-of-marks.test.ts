import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { seededNormal } from '../../src/numbers/index.js'
import { fitAxis } from '../../src/regression/index.js'
import { howMany } from '../harness/proof-mode.js'
import { runsAt } from './run-evidence.js'

const dialled = { stepped: false }
const around = (feed: number) => [0.994 * feed, 1.001 * feed, 1.005 * feed]
const runsOn = (curve: (dial: number) => number, dials = [1, 2, 4, 6, 8, 10], direction: 1 | -1 = 1) =>
  runsAt(
    dials.map((dial) => [dial, around(curve(dial))]),
    direction,
  )
const codes = (side: { warnings: readonly { code: string }[] }) =>
  side.warnings.map((warning) => warning.code)
const at = (side: ReturnType<typeof fitAxis>['directions'][number], dial: number) =>
  side.curve.find((point) => point.dial === dial)!

describe('fitAxis(runs, options) on a dial whose feed falls', () => {
  const falling = (dial: number) => 600 - 55 * dial
  const { directions } = fitAxis([...runsOn(falling), ...runsOn(falling, undefined, -1)], dialled)

  it('draws a falling curve whose band holds the truth everywhere, and warns of no more than the widest gap', () => {
    for (const side of directions) {
      expect(codes(side)).toEqual(['widest-gap'])
      for (let i = 1; i < side.curve.length; i++) {
        expect(side.curve[i]!.feedMmPerMin).toBeLessThanOrEqual(side.curve[i - 1]!.feedMmPerMin)
      }
      for (const { dial, feedMmPerMin, interval95 } of side.curve) {
        expect(interval95![0]).toBeLessThan(falling(dial))
        expect(interval95![1]).toBeGreaterThan(falling(dial))
        expect(feedMmPerMin / falling(dial)).toBeCloseTo(1, 1)
      }
    }
  })

  it('does so with three marks, and with one run a mark', () => {
    const [sparse] = fitAxis(runsOn(falling, [1, 5, 10]), dialled).directions
    expect(at(sparse!, 5).feedMmPerMin / falling(5)).toBeCloseTo(1, 2)
    expect(sparse!.curve[0]!.feedMmPerMin).toBeGreaterThan(sparse!.curve.at(-1)!.feedMmPerMin)
    const once = runsAt([1, 4, 6, 10].map((dial) => [dial, [falling(dial)]]))
    const [single] = fitAxis(once, dialled).directions
    // With an assumed scatter the mark lies between its one run and the curve, here all but on the run.
    expect(at(single!, 4).feedMmPerMin / falling(4)).toBeCloseTo(1, 4)
    expect(single!.curve[0]!.feedMmPerMin).toBeGreaterThan(single!.curve.at(-1)!.feedMmPerMin)
  })
})

describe('fitAxis(runs, options) where feeds do not rise or fall', () => {
  it('says that it is unclear, and keeps a band that holds the level', () => {
    const [side] = fitAxis(
      runsOn(() => 250),
      dialled,
    ).directions
    expect(codes(side!)).toEqual(['order-unclear'])
    for (const { interval95 } of side!.curve) {
      expect(interval95![0]).toBeLessThan(250.1)
      expect(interval95![1]).toBeGreaterThan(249.9)
    }
  })

  it('says nothing of a stepped dial that has no order', () => {
    const runs = runsAt([
      [1, around(50)],
      [2, around(200)],
      [3, around(30)],
      [4, around(150)],
      [5, around(60)],
    ])
    expect(codes(fitAxis(runs, { stepped: true }).directions[0]!)).toEqual([])
  })
})

describe('fitAxis(runs, options) with marks that break the order', () => {
  const curve = (dial: number) => 25 + 14 * dial + 3 * dial ** 2
  const swapped = (dial: number) => curve(dial === 4 ? 6 : dial === 6 ? 4 : dial)

  it.each([1, -1])(
    'names two swapped marks with their runs and answers there what they read (trend %i)',
    (trend) => {
      const along = (dial: number) => swapped(trend === 1 ? dial : 12 - dial)
      const dials = [2, 4, 6, 8, 10]
      const [side] = fitAxis(runsOn(along, dials), dialled).directions
      const [warning] = side!.warnings
      const bad = trend === 1 ? [4, 6] : [6, 8]
      expect(warning).toMatchObject({
        code: 'order-broken',
        message: expect.stringContaining(bad.join(', ')),
      })
      expect(warning!.runIds).toEqual(bad.flatMap((dial) => [0, 1, 2].map((k) => `1:${dial}:${k}`)))
      for (const mark of side!.marks) {
        const point = at(side!, mark.dial)
        expect(point.interval95![0]).toBeLessThan(mark.interval95![1])
        expect(point.interval95![1]).toBeGreaterThan(mark.interval95![0])
        if (bad.includes(mark.dial)) expect(point.feedMmPerMin).toBe(mark.feedMmPerMin)
      }
    },
  )

  it('keeps the true curve in the band between the marks whichever way the numbers were swapped', () => {
    const [side] = fitAxis(runsOn(swapped, [1, 2, 3, 4, 5, 6, 7, 8, 9, 10]), dialled).directions
    const between = side!.curve.filter(
      ({ dial }) => !side!.marks.some((mark) => Math.abs(mark.dial - dial) < 0.05),
    )
    const held = between.filter(
      ({ dial, interval95 }) => interval95![0] <= curve(dial) && curve(dial) <= interval95![1],
    )
    expect(held.length / between.length).toBeGreaterThan(0.95)
  })

  it('gives a curve where an end of the dial breaks the order, and where every mark does', () => {
    const end = (dial: number) => (dial === 10 ? curve(3) : curve(dial))
    const [side] = fitAxis(runsOn(end), dialled).directions
    expect(codes(side!)).toContain('order-broken')
    expect(at(side!, 10).feedMmPerMin / curve(3)).toBeCloseTo(1, 2)
    const wild = runsAt([
      [1, around(50)],
      [2, around(200)],
      [3, around(30)],
      [4, around(150)],
      [5, around(60)],
    ])
    const [all] = fitAxis(wild, dialled).directions
    expect(codes(all!)).toContain('order-broken')
    for (const mark of all!.marks) {
      expect(at(all!, mark.dial).interval95![0]).toBeLessThanOrEqual(mark.interval95![1])
      expect(at(all!, mark.dial).interval95![1]).toBeGreaterThanOrEqual(mark.interval95![0])
    }
  })

  it('never contradicts the runs of a mark, whatever was measured', () => {
    const feeds = fc.array(fc.double({ min: 5, max: 500, noNaN: true }), { minLength: 2, maxLength: 7 })
    fc.assert(
      fc.property(feeds, fc.integer({ min: 1, max: 999 }), (some, seed) => {
        const normal = seededNormal(seed)
        const runs = runsAt(
          some.map((feed, i) => [i, [0, 1].map(() => feed * Math.exp(0.01 * normal()))] as const),
        )
        const [side] = fitAxis(runs, dialled).directions
        for (const mark of side!.marks) {
          const { interval95 } = at(side!, mark.dial)
          expect(interval95![0]).toBeLessThanOrEqual(mark.interval95![1])
          expect(interval95![1]).toBeGreaterThanOrEqual(mark.interval95![0])
        }
      }),
      { seed: 8, numRuns: howMany(4, 40) },
    )
  })
})
