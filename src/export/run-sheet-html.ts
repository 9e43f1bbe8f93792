import type { RunSheet } from '../planning/index.js'
import { type DialWriting, type LengthUnit, printedSign, writeDial } from '../units/index.js'
import { escapeHtml } from './escape-html.js'
import { htmlPage } from './html-page.js'
import { lengthText } from './run-sheet-csv.js'

/** What stands around the rows of a printed sheet. */
interface SheetHead extends DialWriting {
  readonly machine: string
  readonly axis: string
  readonly unit: LengthUnit
  readonly procedure: string
  /** Shown above the rows, one sentence each. */
  readonly cautions: readonly string[]
}

/** Both paper sizes in use: without a size the printer's own holds. */
const STYLE = `@page { margin: 12mm }
body { margin: 0 auto; max-width: 190mm; font: 11pt Helvetica, Arial, sans-serif; color: #111; background: #fff }
h1 { font-size: 15pt; margin: 0 0 2mm }
p, li { margin: 1mm 0 }
.fill { display: flex; gap: 8mm; margin: 3mm 0 }
.fill span { flex: 1; border-bottom: 1px solid #111 }
table { width: 100%; border-collapse: collapse; margin-top: 3mm }
thead { display: table-header-group }
tr { break-inside: avoid }
th, td { border: 1px solid #777; padding: 1.6mm 2mm; text-align: right }
th:last-child, td:last-child { text-align: left; width: 38% }
td.time { width: 18% }
tr.pass td { border-left: 0; border-right: 0; text-align: left; font-weight: bold; padding-top: 3mm }`

/** The blank run sheet as an HTML page to print; no script, nothing from outside. */
export function runSheetHtml(sheet: RunSheet, head: SheetHead): string {
  const { unit } = head
  const title = `${head.machine} ${head.axis}: run sheet`
  const passes = [...new Set(sheet.rows.map((row) => row.pass))]
  const body = passes.flatMap((pass) => [
    `<tr class="pass"><td colspan="6">Pass ${pass} of ${passes.length}</td></tr>`,
    ...sheet.rows
      .filter((row) => row.pass === pass)
      .map((row) => {
        const travel = row.travelMm === null ? '' : `${lengthText(row.travelMm, unit)} ${unit}`
        const takes = row.expectedS === null ? '' : ` <small>(about ${Math.round(row.expectedS)} s)</small>`
        const cells = [
          `<td>${row.step}</td>`,
          `<td>${writeDial(row.dial, head)}</td>`,
          `<td>${printedSign(row.direction)}</td>`,
          `<td>${travel}${takes}</td>`,
          '<td class="time"></td>',
          '<td></td>',
        ]
        return `<tr>${cells.join('')}</tr>`
      }),
  ])
  return htmlPage(
    title,
    STYLE,
    `<h1>${escapeHtml(title)}</h1>
<p>${escapeHtml(head.procedure)}.</p>
<div class="fill"><span>Date</span><span>Timed by</span><span>Watch</span></div>
<ul>
${head.cautions.map((caution) => `<li>${escapeHtml(caution)}</li>`).join('\n')}
<li>Travel ${lengthText(sheet.longestTravelMm, unit)} ${unit} at most, and write the distance you used where it is not printed.</li>
</ul>
<table>
<thead><tr><th>run</th><th>dial</th><th>direction</th><th>travel</th><th>time, s</th><th>note</th></tr></thead>
<tbody>
${body.join('\n')}
</tbody>
</table>
<p>Then copy the times into the CSV sheet and have tablepace read it. Rows without a time are left out.</p>`,
  )
}
