import { describe, expect, it } from 'vitest'
import { tablesToMarkdown } from '../../src/export/index.js'
import { STEPPED, STRAIGHT, table } from '../planning/sample-tables.js'

describe('tablesToMarkdown(tables)', () => {
  it('gives marks with their intervals and even dials from the curve, in the unit of the machine', () => {
    const text = tablesToMarkdown([STRAIGHT])
    expect(text).toContain('| dial | feed, mm/min | 95 % interval | next setting 95 % | runs |')
    expect(text).toContain('| 2 | 200 | 190 … 210 | 180 … 220 | 3 |')
    expect(text).toContain('| 2.5 | 250 | 240 … 260 | 230 … 270 |')
    expect(text).toContain('table 2 of 2026-03-02, aaaaaaaa')
  })

  it('has no curve where the dial has marks alone, and dashes where there is no interval', () => {
    const bare = STEPPED.marks.map((mark) => ({ ...mark, interval95: null, nextSetting95: null }))
    const text = tablesToMarkdown([table({ ...STEPPED, marks: bare })])
    expect(text).not.toContain('From the curve')
    expect(text).toContain('| 1 | 20 | – | – | 3 |')
  })

  it('keeps names from turning into markup', () => {
    expect(tablesToMarkdown([table({ ...STEPPED, machine: '*mill* | [x](y)\n# z' })])).toContain(
      '# \\*mill\\* \\| \\[x\\](y) \\# z X: feed of each dial setting',
    )
  })
})
