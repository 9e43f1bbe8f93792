import {
  cardNotes,
  cardOrigin,
  cardRows,
  type DialCard,
  dialCard,
  feedWords,
  standingNotes,
  withinWords,
} from '../pictures/index.js'
import { directionWord, feedUnit, formatDial } from '../units/index.js'
import { escapeHtml } from './escape-html.js'
import { htmlPage } from './html-page.js'

/** Both sheet sizes in use: without a size the printer's own holds; the card fits A4 and Letter upright. */
const STYLE = `@page { margin: 10mm }
body { margin: 0 auto; max-width: 190mm; font: 11pt Helvetica, Arial, sans-serif; color: #1c1c1c; background: #fff }
svg { width: 100%; height: auto; max-height: 270mm; display: block }
.words { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%) }`

/**
 * The dial card as an HTML page that prints on one upright sheet. It holds the drawing, and the same table in words for
 * who cannot see it; no script, nothing from outside.
 */
export function cardHtml(card: DialCard): string {
  const svg = dialCard(card).replace(/^<\?xml[^>]*>\n/, '')
  const [first] = card.tables
  const title = `${first?.machine} ${first?.axis}: where to set the dial`
  const rows = cardRows(card.tables, card.dialRange).map((row) => {
    const cells = card.tables.map((table) => {
      const setting = row.settings.find((one) => one.direction === table.direction)
      return `<td>${setting ? `${formatDial(setting.dial, table)} ${withinWords(setting.withinPercent)}` : '–'}</td>`
    })
    return `<tr><th scope="row">${feedWords(row.feed)} ${feedUnit(first?.unit ?? 'mm')}</th>${cells.join('')}</tr>`
  })
  const heads = card.tables.map(
    ({ direction }) => `<th scope="col">dial, direction ${directionWord(direction)}</th>`,
  )
  return htmlPage(
    title,
    STYLE,
    `${svg}<div class="words">
<table>
<caption>${[...card.tables.map(cardOrigin), ...standingNotes(card.tables), ...cardNotes()].map(escapeHtml).join('. ')}</caption>
<thead><tr><th scope="col">feed</th>${heads.join('')}</tr></thead>
<tbody>
${rows.join('\n')}
</tbody>
</table>
</div>`,
  )
}
