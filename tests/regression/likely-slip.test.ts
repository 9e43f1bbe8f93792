import { describe, expect, it } from 'vitest'
import type { RunEvidence } from '../../src/regression/index.js'
import { likelySlip } from '../../src/regression/likely-slip.js'

// Factors by definition: ten to a decimal place, 25.4 mm to an inch, 60 seconds to a minute.
const entered = (part: Partial<RunEvidence>): RunEvidence => ({
  ...{ runId: 'a', dial: 4, direction: 1, feedMmPerMin: 100, standardUncertaintyMmPerMin: 1 },
  ...{ source: 'stopwatch', session: 'monday' },
  ...part,
})
const slip = (
  factor: number,
  part: Partial<RunEvidence> = {},
  marks: { dial: number; feedMmPerMin: number }[] = [],
) => likelySlip(entered(part), factor, marks, String)

describe('likelySlip(run, factor, marks, write)', () => {
  it.each([
    [10, 'a decimal point one place off'],
    [1 / 10, 'a decimal point one place off'],
    [25.4, 'millimetres written as inches'],
    [1 / 60, 'seconds written as minutes'],
    [2, 'half the time or twice the distance'],
  ])('names what makes a feed wrong by a factor of %d', (factor, words) => {
    expect(slip(factor)).toContain(words)
  })

  it('finds minutes left out and figures swapped in what was entered', () => {
    expect(slip(73 / 13, { entry: { distanceMm: 150, durationS: 13 } })).toContain('13 s written for 73 s')
    expect(slip(31 / 13, { entry: { distanceMm: 150, durationS: 13 } })).toContain('13 s written for 31 s')
    expect(slip(91 / 19, { entry: { distanceMm: 91, durationS: 30 } })).toContain(
      'figures of the distance swapped',
    )
  })

  it('names the setting that gives this feed, and no slip of the pen where a readout measured', () => {
    const marks = [
      { dial: 4, feedMmPerMin: 100 },
      { dial: 8, feedMmPerMin: 104 },
    ]
    expect(slip(10, { source: 'readout' }, marks)).toBe('It looks like the dial at 8.')
    expect(slip(10, { source: 'readout' })).toMatch(/^Look for a wrong dial, a lever that slipped/)
  })

  it('says where to look when nothing explains the factor', () => {
    expect(slip(4.3)).toMatch(/^Look for a figure written down wrong/)
  })
})
