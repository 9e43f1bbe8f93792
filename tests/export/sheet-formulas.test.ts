import { describe, expect, it } from 'vitest'
import { exactText, interpolated, nearest, type SheetColumn } from '../../src/export/sheet-formulas.js'

const column = (letter: string, lastRow = 4): SheetColumn => ({ sheet: 'Plus', letter, firstRow: 2, lastRow })

describe('formulas of a workbook', () => {
  it('interpolated(wanted, from, to, outside) refuses first, then goes straight between two rows', () => {
    const formula = interpolated('B3', column('B'), column('A'), 'outside')
    expect(formula).toMatch(/^IF\(ISNUMBER\(B3\),IF\(OR\(B3<MIN\(Plus!\$B\$2:\$B\$4\),/)
    // Some spreadsheets forgive a missing bracket, others refuse the whole workbook.
    expect([...formula].filter((letter) => letter === '(')).toHaveLength(
      [...formula].filter((letter) => letter === ')').length,
    )
  })

  it('a table of one row answers for itself alone', () => {
    const one = interpolated('B3', column('B', 2), column('A', 2), 'outside')
    expect(one).toBe(exactText('B3', column('B', 2), column('A', 2), 'outside'))
  })

  it('nearest(wanted, starts, own, to, outside) reads the last row that begins at or below it', () => {
    expect(nearest('B3', column('G'), column('B'), column('A'), 'no')).toMatch(
      /INDEX\(Plus!\$A\$2:\$A\$4,MATCH\(B3,Plus!\$G\$2:\$G\$4,1\)\)\),"no"\)$/,
    )
  })
})
