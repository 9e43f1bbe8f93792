import { describe, expect, it } from 'vitest'
import { cardHtml, tablesToCsv, tablesToJson, tablesToMarkdown } from '../../src/export/index.js'
import { readTables } from '../../src/library/index.js'
import { mark, point, table } from '../planning/sample-tables.js'

const MARKS = [mark(2, 40), mark(4, 90), mark(6, 60), mark(8, 130), mark(10, 190)]
const BROKEN = table({
  marks: MARKS,
  curve: MARKS.map((one) => point(one.dial, one.feedMmPerMin, 1)),
  warnings: [{ code: 'order-broken', message: 'The feeds at dials 4, 6 are out of order.', runIds: ['01A'] }],
})

describe('every export of a table with marks out of order', () => {
  it('says so', () => {
    const sentence = 'The feeds at dials 4, 6 are out of order.'
    expect(tablesToCsv([BROKEN])).toContain(sentence)
    expect(tablesToMarkdown([BROKEN])).toContain(sentence)
    expect(cardHtml({ tables: [BROKEN], dialRange: [0, 10] })).toContain(sentence)
  })

  it('hands the warning on in the document, with its runs, and reads it back', () => {
    const [read] = readTables(tablesToJson([BROKEN]))
    expect(read!.warnings).toEqual(BROKEN.warnings)
  })
})
