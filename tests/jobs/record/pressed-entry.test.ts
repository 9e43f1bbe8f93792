import { describe, expect, it } from 'vitest'
import { pressedEntry } from '../../../src/jobs/index.js'
import { judgeStopwatch } from '../../../src/jobs/record/judge-takes.js'

const INCH_MM = 25.4
/** Six inches at 5 in/min, a press at every inch: 12 s from line to line. */
const PRESSED = {
  ...({ dial: 3, direction: 1, distanceMm: 6 * INCH_MM, durationS: 72 } as const),
  ...{ marksS: [12.05, 23.94, 36.02, 47.97, 60.04], everyMm: INCH_MM },
}

const judged = (pressed: Parameters<typeof pressedEntry>[0]) =>
  judgeStopwatch(pressedEntry(pressed), null, null)

describe('presses at lines on the way', () => {
  it('make the feed that of the least-squares line through all of them', () => {
    const { feed, samples, rejection } = judged(PRESSED)
    expect(rejection).toBeNull()
    expect(samples).toMatchObject({ read: 7, used: 7 })
    // The slope worked out by its textbook formula, sum of (t - mean)(y - mean) over sum of (t - mean) squared.
    const t = [0, ...PRESSED.marksS, 72]
    const y = t.map((_, i) => i * INCH_MM)
    const mean = (of: readonly number[]) => of.reduce((sum, one) => sum + one, 0) / of.length
    const cross = t.reduce((sum, one, i) => sum + (one - mean(t)) * (y[i]! - mean(y)), 0)
    const squares = t.reduce((sum, one) => sum + (one - mean(t)) ** 2, 0)
    expect(feed!.feedMmPerMin).toBeCloseTo((60 * cross) / squares, 9)
    // Better known than by the first press and the last alone.
    const alone = judged({ ...PRESSED, marksS: [] })
    const width = ({ feed: told }: typeof alone) => told!.interval95MmPerMin[1] - told!.interval95MmPerMin[0]
    expect(width(judged(PRESSED))).toBeLessThan(width(alone))
  })

  it('tell of a missed line or an unsteady travel, and fall in the other direction', () => {
    const missed = judged({ ...PRESSED, marksS: [12, 36, 48, 60] })
    expect(missed).toMatchObject({ feed: null, rejection: { code: 'readings-unsteady' } })
    expect(pressedEntry({ ...PRESSED, direction: -1 }).marks).toMatchObject({
      readings: expect.arrayContaining([
        [12.05, -INCH_MM],
        [72, -6 * INCH_MM],
      ]),
    })
  })

  it('are only kept where the lines are not known or do not fit', () => {
    for (const everyMm of [null, 1.2 * INCH_MM]) {
      const entry = pressedEntry({ ...PRESSED, everyMm })
      expect(entry.marks).toEqual({ atS: PRESSED.marksS, everyMm })
      expect(judgeStopwatch(entry, null, null).feed!.feedMmPerMin).toBeCloseTo(5 * INCH_MM, 9)
    }
    expect(pressedEntry({ ...PRESSED, marksS: [] }).marks).toBeNull()
  })
})

describe('a timing that is too short to be sure of', () => {
  it('asks for more travel only where the axis has it', () => {
    // 10 in in 6 s: as far as the press error asks for, the table would go some 50 in.
    const short = pressedEntry({ ...PRESSED, distanceMm: 254, durationS: 6, marksS: [], everyMm: null })
    const said = (travelMm: number) =>
      judgeStopwatch(short, null, { leadscrewPitchMm: null, travelMm, unit: 'in' }).warnings[0]!.message
    expect(said(2500)).toMatch(/Travel further, so that it takes \d+ s or more\.$/)
    expect(said(300)).toMatch(/The axis is too short for the \d+ s .* time it with a readout or a film\.$/)
  })
})
