import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  type CheckedRun,
  checkRun,
  type Reading,
  type Reference,
  travelMeantIn,
  uncheckedUnit,
  wayOut,
} from '../../../src/planning/mix-ups/index.js'

const INCH: Reading = { source: 'readout', unit: 'in', countLengthMm: null, basis: 'assumed' }
const METRIC: Reading = { ...INCH, unit: 'mm' }
const BY_HAND: Reading = { source: 'stopwatch', unit: 'in', countLengthMm: null, basis: 'said' }
const AXIS = { name: 'X', travelMm: 21 * 25.4, unit: 'in' } as const

/** A traverse of 6 in at 4.8 in/min by a readout of 0.0005 in. */
const RUN: CheckedRun = {
  dial: 4,
  feedMmPerMin: 4.8 * 25.4,
  distanceMm: 6 * 25.4,
  durationS: 75,
  lineIntervalS: 0.1,
  positionStepMm: 0.0127,
  ripple: null,
  reading: INCH,
}
const TABLE: Reference = { feedMmPerMin: 4.8 * 25.4, spread: 0.03, from: 'table 3', unitShown: true }

function refusal(changes: Partial<CheckedRun>, reference: Reference | null = null) {
  return checkRun({ ...RUN, ...changes }, AXIS, reference).contradiction
}

describe('checkRun', () => {
  it('keeps a run that its machine can make', () => {
    expect(checkRun(RUN, AXIS, TABLE)).toMatchObject({
      contradiction: null,
      agrees: true,
      unitShown: true,
    })
  })

  it('lets a travel pass that is a little beyond the figure of the axis, and refuses more', () => {
    expect(refusal({ distanceMm: 21.9 * 25.4 })).toBeNull()
    expect(refusal({ distanceMm: 22.2 * 25.4 })?.code).toBe('beyond-travel')
  })

  it('refuses a distance by stopwatch beyond the travel with what to write', () => {
    expect(refusal({ reading: BY_HAND, distanceMm: 150 * 25.4 })?.message).toBe(
      '150 in is more than the 21 in of travel that axis X has; if you mean millimetres, write 150mm.',
    )
  })

  it('names mm for numbers that would fit as mm, and counts for those that would not', () => {
    expect(refusal({ distanceMm: 24.6 * 25.4 })?.message).toMatch(/probably mm, not inches/)
    expect(refusal({ distanceMm: 4575 * 25.4 })?.message).toMatch(/probably counts of its scale, not inches/)
  })

  it('refuses more travel than the axis has also where the unit was said or stands in the lines', () => {
    for (const basis of ['said', 'lines', 'moved'] as const) {
      expect(refusal({ distanceMm: 24.6 * 25.4, reading: { ...INCH, basis } })?.code).toBe('beyond-travel')
    }
  })

  it.each([
    [25.4, INCH, /numbers are mm and were taken as inches/],
    [1 / 25.4, METRIC, /numbers are inches and were taken as mm/],
    [10, INCH, /decimal point/],
    [1 / 10, BY_HAND, /decimal point/],
    [1 / 1000, BY_HAND, /milliseconds/],
    [60, BY_HAND, /minutes/],
    [5080, INCH, /counts of the scale/],
    [200, METRIC, /counts of the scale/],
  ])('refuses a feed off by %f with its likely cause', (factor, reading, cause) => {
    for (const scatter of [0.9, 1, 1.1]) {
      const found = refusal(
        { feedMmPerMin: RUN.feedMmPerMin * factor * scatter, distanceMm: 5, reading },
        TABLE,
      )
      expect(found?.code).toBe('unit-mismatch')
      expect(found?.message).toMatch(cause)
      expect(wayOut(found!.code)).toMatch(/unit/)
    }
  })

  it('never refuses a feed that lies within five times of the known one', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.2, max: 5, noNaN: true }),
        fc.constantFrom(INCH, METRIC, BY_HAND),
        (ratio, reading) => {
          expect(refusal({ feedMmPerMin: RUN.feedMmPerMin * ratio, reading }, TABLE)).toBeNull()
        },
      ),
    )
  })

  it('refuses times in milliseconds by the beat of the lines', () => {
    const found = refusal({ lineIntervalS: 100, durationS: 75_000, feedMmPerMin: RUN.feedMmPerMin / 1000 })
    expect(found?.code).toBe('time-unit')
    expect(found?.message).toMatch(/100 s apart .* 21 h: its times are probably milliseconds/)
  })

  it('keeps positions that were written down by hand every ten seconds', () => {
    expect(refusal({ lineIntervalS: 10, durationS: 300 })).toBeNull()
  })

  it('refuses a unit that the leadscrew speaks against, except where a person said it', () => {
    const inches = { reading: METRIC, ripple: 1 / 25.4, distanceMm: 6 }
    expect(refusal(inches)?.code).toBe('unit-by-ripple')
    expect(refusal({ ...inches, reading: { ...METRIC, basis: 'said' } })).toBeNull()
  })

  it('takes the unit as shown by the step, by the ripple, by the travel, by a table, or by whoever said it', () => {
    const shown = (changes: Partial<CheckedRun>, reference: Reference | null = null) =>
      checkRun({ ...RUN, positionStepMm: null, ...changes }, AXIS, reference).unitShown
    expect(shown({})).toBe(false)
    expect(shown({ positionStepMm: 0.0127 })).toBe(true)
    expect(shown({ ripple: 1 })).toBe(true)
    expect(shown({ reading: { ...INCH, basis: 'said' } })).toBe(true)
    expect(shown({}, TABLE)).toBe(true)
    expect(shown({}, { ...TABLE, unitShown: false })).toBe(false)
    // 100 mm would be 2540 mm, were they inches.
    expect(shown({ reading: METRIC, distanceMm: 100 })).toBe(true)
    expect(shown({ reading: METRIC, distanceMm: 10 })).toBe(false)
  })

  it('warns by the step where inches are taken as mm', () => {
    expect(uncheckedUnit({ ...RUN, reading: METRIC, positionStepMm: 0.0005 })).toEqual({
      code: 'unit-doubtful',
      message:
        'The numbers of this readout step by 0.0005 and are taken as mm, the unit of the machine; readouts step so in inches. Look at the readout, and give the unit.',
    })
    expect(uncheckedUnit({ ...RUN, reading: METRIC, positionStepMm: 0.001 }).code).toBe('unit-unchecked')
  })
})

describe('travelMeantIn(travelMm, unit)', () => {
  it('asks about 400 in and about 20 mm, and not about a short quill, a long bed or a turning table', () => {
    expect(travelMeantIn(400 * 25.4, 'in')).toBe('mm')
    expect(travelMeantIn(20, 'mm')).toBe('in')
    for (const travelMm of [75, 600, 2000]) expect(travelMeantIn(travelMm, 'mm')).toBeNull()
    expect(travelMeantIn(5, 'deg')).toBeNull()
  })
})
