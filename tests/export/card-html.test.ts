import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { cardHtml } from '../../src/export/index.js'
import { hasProgram, printedToPdf } from '../harness/outside/outside-programs.js'
import { temporaryFolder } from '../harness/program.js'
import { anyTable, STRAIGHT, table } from '../planning/sample-tables.js'

const CARD = { tables: [STRAIGHT, table({ ...STRAIGHT, direction: -1 })], dialRange: [0, 10] as const }

describe('cardHtml({ tables, dialRange })', () => {
  it('holds the drawing and the same figures as a table in words, and nothing from outside', () => {
    const html = cardHtml({ ...CARD, tables: CARD.tables.map((one) => ({ ...one, machine: '<b>"&' })) })
    expect(html).toContain('<title>&lt;b&gt;&quot;&amp; X: where to set the dial</title>')
    expect(html).toContain('<tr><th scope="row">200 mm/min</th><td>2 ± 10 %</td><td>2 ± 10 %</td></tr>')
    expect(html).not.toMatch(/<script|src=|href=|url\(/)
    expect(html.match(/<svg /g)).toHaveLength(1)
  })

  it('is made for any table', () => {
    fc.assert(
      fc.property(anyTable, (one) => {
        const range = [one.curve[0]!.dial, one.curve.at(-1)!.dial] as const
        expect(cardHtml({ tables: [one], dialRange: range })).not.toMatch(/NaN|undefined|Infinity/)
      }),
      { numRuns: 15 },
    )
  })

  it.skipIf(!hasProgram('chromium'))('prints on one page in Chromium', () => {
    const folder = temporaryFolder()
    const [page, pdf] = [join(folder, 'card.html'), join(folder, 'card.pdf')]
    writeFileSync(page, cardHtml(CARD))
    printedToPdf(`file://${page}`, pdf)
    expect(readFileSync(pdf, 'latin1').match(/\/Type\s*\/Page\b/g)).toHaveLength(1)
  })
})
