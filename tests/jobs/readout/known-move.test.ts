import { describe, expect, it } from 'vitest'
import { inferFormat } from '../../../src/ingest/index.js'
import { linesTellUnit, parseMoveMm, settingsByMove } from '../../../src/jobs/readout/known-move.js'
import type { ReadoutSettings } from '../../../src/jobs/readout/readout-settings.js'
import type { LengthUnit } from '../../../src/units/index.js'

/** The format of lines whose number runs on in steps of its last digit. */
function formatOf(decimals: number, bareUnit: LengthUnit, suffix = '') {
  const lines = Array.from({ length: 40 }, (_, k) => ({
    timeS: k / 10,
    text: `X+${(k * 10 ** -decimals).toFixed(decimals)}${suffix}`,
  }))
  return inferFormat(lines, { axis: 'X', bareUnit }).format
}

function settings(bareUnit: LengthUnit): ReadoutSettings {
  return { profile: null, bareUnit, countLengthMm: null, fromSpreadsheet: false }
}

describe('parseMoveMm', () => {
  it('reads turns by the pitch, and lengths in the unit of the machine', () => {
    expect(parseMoveMm('1 turn', 'in', 5.08)).toBeCloseTo(5.08)
    expect(parseMoveMm('2 turns', 'mm', 4)).toBeCloseTo(8)
    expect(parseMoveMm('0.5', 'in', null)).toBeCloseTo(12.7)
    expect(parseMoveMm('10mm', 'in', null)).toBeCloseTo(10)
    expect(() => parseMoveMm('1 turn', 'in', null)).toThrow(/pitch/)
    expect(() => parseMoveMm('0', 'in', null)).toThrow(/above zero/)
  })
})

describe('linesTellUnit', () => {
  it('by the unit in the lines, or by a last digit that only one unit has', () => {
    expect(linesTellUnit(formatOf(3, 'in', 'mm'), 'in')).toBe(true)
    expect(linesTellUnit(formatOf(4, 'in'), 'in')).toBe(true)
    expect(linesTellUnit(formatOf(4, 'mm'), 'mm')).toBe(false)
    expect(linesTellUnit(formatOf(3, 'mm'), 'mm')).toBe(false)
  })
})

describe('settingsByMove', () => {
  it('finds mm on an inch machine and inches on a metric one, with backlash in the move', () => {
    const asInches = { shownMm: 4.9 * 25.4, format: formatOf(3, 'in') }
    expect(settingsByMove(settings('in'), asInches, 5.08)).toEqual({
      settings: { ...settings('in'), bareUnit: 'mm', unitBasis: 'moved' },
      sentence: 'The readout moved by 4.90 mm: its numbers are mm.',
    })
    const asMm = { shownMm: 0.196, format: formatOf(4, 'mm') }
    expect(settingsByMove(settings('mm'), asMm, 5).settings.bareUnit).toBe('in')
  })

  it('confirms the unit of the machine', () => {
    const right = { shownMm: 5.0, format: formatOf(4, 'in') }
    expect(settingsByMove(settings('in'), right, 5.08).settings).toMatchObject({
      bareUnit: 'in',
      unitBasis: 'moved',
    })
  })

  it('finds counts by whole numbers', () => {
    const counts = { shownMm: 2000 * 25.4, format: formatOf(0, 'in') }
    expect(settingsByMove(settings('in'), counts, 10).settings.countLengthMm).toBe(0.005)
  })

  it('says so where the readout did not move, or no unit fits', () => {
    expect(() => settingsByMove(settings('in'), { shownMm: 0, format: formatOf(4, 'in') }, 5)).toThrow(
      /did not move/,
    )
    expect(() => settingsByMove(settings('in'), { shownMm: 70, format: formatOf(4, 'in') }, 5)).toThrow(
      /known move/,
    )
  })
})
