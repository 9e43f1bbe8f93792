import { describe, expect, it } from 'vitest'
import { textTable } from '../../../src/cli/render/text-table.js'

describe('textTable(columns, rows)', () => {
  it('aligns columns under their titles and leaves no blanks at the ends of lines', () => {
    const text = textTable(
      [
        { title: 'dial', align: 'right' },
        { title: 'note', align: 'left' },
      ],
      [
        ['1', 'slow'],
        ['10', ''],
      ],
    )
    expect(text).toBe('dial  note\n────  ────\n   1  slow\n  10')
  })
})
