import fc from 'fast-check'
import type { CurvePoint, FeedTable, MarkFit } from '../../src/regression/index.js'

/** A point whose band reaches `width` to both sides, and twice that for the next setting. */
export function point(dial: number, feedMmPerMin: number, width: number): CurvePoint {
  return {
    dial,
    feedMmPerMin,
    standardUncertaintyMmPerMin: width / 1.96,
    interval95: [feedMmPerMin - width, feedMmPerMin + width],
    nextSetting95: [feedMmPerMin - 2 * width, feedMmPerMin + 2 * width],
  }
}

export function table(changes: Partial<FeedTable>): FeedTable {
  return {
    machine: 'knee mill',
    axis: 'X',
    direction: 1,
    version: 2,
    fittedAt: '2026-03-02T09:00:00.000Z',
    unit: 'mm',
    stepped: false,
    marks: [],
    curve: [],
    runIds: [],
    method: { name: 'dial-curve', version: '1' },
    hash: 'a'.repeat(64),
    ...changes,
  }
}

export function mark(dial: number, feedMmPerMin: number, width = 1): MarkFit {
  return { ...point(dial, feedMmPerMin, width), runs: 3 }
}

/** A straight dial: 100 mm/min a dial unit from dial 0.1 to 10, band ± 10 mm/min. */
export const STRAIGHT = table({
  marks: [0.1, 1, 2, 5, 10].map((dial) => mark(dial, 100 * dial, 10)),
  curve: Array.from({ length: 100 }, (_, index) => point((index + 1) / 10, 10 * (index + 1), 10)),
})

/** Only three of these settings exist. */
export const STEPPED = table({ stepped: true, marks: [mark(1, 20), mark(2, 45), mark(3, 46.5)] })

/** Tables of any rising curve, flat stretches included, with a band of any width. */
export const anyTable: fc.Arbitrary<FeedTable> = fc
  .record({
    start: fc.double({ min: 0.1, max: 50, noNaN: true }),
    rises: fc.array(fc.oneof(fc.constant(0), fc.double({ min: 0.001, max: 30, noNaN: true })), {
      minLength: 100,
      maxLength: 220,
    }),
    widths: fc.double({ min: 0.01, max: 40, noNaN: true }),
    dialFrom: fc.double({ min: -5, max: 5, noNaN: true }),
    dialStep: fc.double({ min: 0.01, max: 0.5, noNaN: true }),
  })
  .map(({ start, rises, widths, dialFrom, dialStep }) => {
    let feed = start
    const curve = [0, ...rises].map((rise, index) => {
      feed += rise
      return point(dialFrom + index * dialStep, feed, widths)
    })
    const marks = curve.filter((_, index) => index % 25 === 0).map((at) => ({ ...at, runs: 2 }))
    return table({ curve, marks })
  })
