import { describe, expect, it } from 'vitest'
import { type CheckedRuns, checkedCall } from '../../../scripts/proof/mix-ups.js'
import { checkTakes, type UncheckedTake } from '../../../src/jobs/record/check-takes.js'
import { JUDGEMENT } from '../../store/store-samples.js'

const AXIS = { name: 'X', travelMm: 533.4, unit: 'in' } as const
const NOTHING = { tables: [], runs: [] }

/** A row of a sheet: dial and feed, mm/min. */
function row(dial: number, feedMmPerMin: number, distanceMm = 100): UncheckedTake {
  const feed = { ...JUDGEMENT.feed!, feedMmPerMin }
  return {
    dial,
    reading: { source: 'stopwatch', unit: 'in', countLengthMm: null, basis: 'said' },
    stepTells: false,
    tags: {},
    runs: [{ ...JUDGEMENT, feed, distanceMm, durationS: 30 }],
  }
}

function refusedRows(rows: readonly UncheckedTake[]): number[] {
  return checkTakes(AXIS, NOTHING, rows).flatMap(([run], index) => (run!.rejection === null ? [] : [index]))
}

function sum(how: 'right' | 'swapped', calls: number): CheckedRuns {
  const all = Array.from({ length: calls }, (_, k) => checkedCall(how, 1000 * (k + 1)))
  const total = (key: keyof CheckedRuns) => all.reduce((added, one) => added + one[key], 0)
  return { runs: total('runs'), refused: total('refused'), warned: total('warned') }
}

// 145 calls of each kind: node scripts/proofs/mix-ups.js
describe('simulated machines', () => {
  it('no right run is refused', () => {
    const { runs, refused } = sum('right', 4)
    expect(runs).toBeGreaterThan(22)
    expect(refused).toBe(0)
  })

  it('no run in the wrong unit is kept without a word', () => {
    const { runs, refused, warned } = sum('swapped', 4)
    expect(runs).toBeGreaterThan(16)
    expect(refused).toBeGreaterThan(0)
    expect(refused + warned).toBe(runs)
  })
})

describe('the traverses of one readout', () => {
  const readout = (dial: number, feedMmPerMin: number, distanceMm: number): UncheckedTake => ({
    ...row(dial, feedMmPerMin, distanceMm),
    reading: { source: 'readout', unit: 'in', countLengthMm: null, basis: 'assumed' },
  })

  it('are all in doubt where one goes beyond the travel, also those that agree with each other', () => {
    expect(refusedRows([readout(2, 60, 400), readout(2, 61, 400), readout(8, 400, 9000)])).toEqual([0, 1, 2])
  })

  it('are kept beside one that contradicts its own dial, where they agree with each other', () => {
    const calls = [readout(2, 60, 100), readout(2, 61, 100), readout(2, 60 * 25.4, 100)]
    expect(refusedRows([...calls, readout(4, 120, 100), readout(4, 121, 100)])).toEqual([2])
  })
})

describe('the rows of one sheet', () => {
  it('warns of a distance that is a little longer than the travel that was entered', () => {
    const rows = [row(4, 120, 533.4), row(4, 121, 533.4 * 1.0004), row(4, 122, 22 * 25.4)]
    const runs = checkTakes(AXIS, NOTHING, rows).flat()
    expect(runs.map(({ rejection }) => rejection)).toEqual([null, null, null])
    const told = runs.map(({ warnings }) => warnings.filter(({ code }) => code === 'beyond-travel'))
    expect(told.map(({ length }) => length)).toEqual([0, 0, 1])
    expect(told[2]![0]!.message).toMatch(
      /^22 in is a little more than the 21 in of travel that axis X has\. /,
    )
  })

  it('names the one of three that is ten times off, whatever its place', () => {
    expect(refusedRows([row(4, 120), row(4, 122), row(4, 1210)])).toEqual([2])
    expect(refusedRows([row(4, 1210), row(4, 122), row(4, 120)])).toEqual([0])
  })

  it('names the one of two that is out of order with the other dials, else the later one', () => {
    expect(refusedRows([row(2, 60), row(4, 1210), row(4, 122), row(6, 200)])).toEqual([1])
    // A dial may fall as its numbers rise.
    expect(refusedRows([row(2, 200), row(4, 1210), row(4, 122), row(6, 60)])).toEqual([1])
    expect(refusedRows([row(4, 1210), row(4, 122)])).toEqual([1])
  })

  it('keeps dials that differ by ten times', () => {
    expect(refusedRows([row(1, 30), row(10, 300), row(1, 31), row(10, 310)])).toEqual([])
  })

  it('doubts the whole sheet where most of it goes beyond the travel', () => {
    expect(refusedRows([row(2, 60, 500), row(4, 120, 3000), row(6, 200, 4000)])).toEqual([0, 1, 2])
    expect(refusedRows([row(2, 60), row(4, 120), row(6, 200, 4000)])).toEqual([2])
    // Rows of one dial that agree may be wrong alike.
    const thereAndBack = [row(2, 60, 500), row(2, 61, 500), row(4, 120, 3000), row(4, 122, 3000)]
    expect(refusedRows(thereAndBack)).toEqual([0, 1, 2, 3])
  })

  it('asks about times of ten minutes and more, which may be seconds taken as minutes', () => {
    const long = (feedMmPerMin: number): UncheckedTake => {
      const take = row(4, feedMmPerMin)
      return { ...take, runs: [{ ...take.runs[0]!, durationS: 1802 }] }
    }
    const [first, second, short] = checkTakes(AXIS, NOTHING, [long(3.3), long(3.4), row(8, 400)]).flat()
    for (const run of [first!, second!]) expect(run.warnings.map(({ code }) => code)).toContain('time-unit')
    expect(short!.warnings.map(({ code }) => code)).not.toContain('time-unit')
  })
})
