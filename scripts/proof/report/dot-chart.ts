import { scaleLinear } from 'd3-scale'

/** One dot: a value with its standard error. */
export interface Dot {
  readonly label: string
  readonly value: number
  readonly standardError: number
  readonly missed: boolean
}

/** Dots of one figure above each other, with the range that is wanted behind them. */
export interface DotPanel {
  readonly title: string
  readonly dots: readonly Dot[]
  readonly low: number | null
  readonly high: number | null
  /** Digits after the point of the axis' numbers. */
  readonly decimals: number
}

const ROW_PX = 22
const PANEL_PX = 280
const LABELS_PX = 290
const TOP_PX = 62
const INK = '#26323a'
const PALE = '#e3ece4'
const MISSED = '#b3261e'
const SOUND = '#22577a'

/** Panels side by side over the same rows, as SVG; bars of two standard errors to each side. */
export function dotChart(title: string, panels: readonly DotPanel[]): string {
  const labels = panels[0]?.dots.map((dot) => dot.label) ?? []
  const height = TOP_PX + ROW_PX * labels.length + 34
  const width = LABELS_PX + PANEL_PX * panels.length
  const body = [
    text(10, 22, title, 'font-size="15" font-weight="600"'),
    ...labels.map((label, i) => text(LABELS_PX - 14, rowY(i) + 4, label, 'text-anchor="end"')),
    ...panels.map((panel, k) => panelBody(panel, LABELS_PX + PANEL_PX * k, labels)),
  ]
  return svg(width, height, body.join('\n'))
}

/** A whole SVG picture on white. */
export function svg(width: number, height: number, body: string): string {
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" font-family="sans-serif" font-size="12" fill="${INK}">
<rect width="${width}" height="${height}" fill="#ffffff"/>
${body}
</svg>
`
}

/** Text with its special characters escaped. */
export function text(x: number, y: number, content: string, attributes = ''): string {
  const escaped = content.replace(
    /[&<>]/g,
    (sign) => ({ '&': '&amp;', '<': '&lt;', '>': '&gt;' })[sign] ?? sign,
  )
  return `<text x="${x.toFixed(1)}" y="${y.toFixed(1)}" ${attributes}>${escaped}</text>`
}

function panelBody(panel: DotPanel, leftPx: number, labels: readonly string[]): string {
  const { dots, low, high, decimals } = panel
  const reach = dots.flatMap(({ value, standardError }) => [
    value - 2 * standardError,
    value + 2 * standardError,
  ])
  const ends = [...reach, ...[low, high].filter((end) => end !== null)].filter(Number.isFinite)
  const x = scaleLinear()
    .domain([Math.min(...ends), Math.max(...ends)])
    .nice()
    .range([leftPx + 12, leftPx + PANEL_PX - 24])
  const [left = 0, right = 0] = x.range()
  const bottom = rowY(labels.length) - ROW_PX / 2
  const parts = [text(leftPx + 12, 48, panel.title, 'font-weight="600"')]
  if (low !== null || high !== null) {
    const from = low === null ? left : x(low)
    const to = high === null ? right : x(high)
    parts.push(
      `<rect x="${from.toFixed(1)}" y="${TOP_PX - 4}" width="${(to - from).toFixed(1)}" height="${(bottom - TOP_PX + 4).toFixed(1)}" fill="${PALE}"/>`,
    )
  }
  for (const tick of x.ticks(5)) {
    const at = x(tick).toFixed(1)
    parts.push(
      `<line x1="${at}" x2="${at}" y1="${TOP_PX - 4}" y2="${bottom}" stroke="#d0d4d6" stroke-width="0.5"/>`,
      text(x(tick), bottom + 16, tick.toFixed(decimals), 'text-anchor="middle" font-size="11"'),
    )
  }
  for (const dot of dots) {
    const y = rowY(labels.indexOf(dot.label)).toFixed(1)
    const colour = dot.missed ? MISSED : SOUND
    const error = Number.isFinite(dot.standardError) ? 2 * dot.standardError : 0
    parts.push(
      `<line x1="${x(dot.value - error).toFixed(1)}" x2="${x(dot.value + error).toFixed(1)}" y1="${y}" y2="${y}" stroke="${colour}" stroke-width="2"/>`,
      `<circle cx="${x(dot.value).toFixed(1)}" cy="${y}" r="4" fill="${colour}"/>`,
    )
  }
  return parts.join('\n')
}

function rowY(index: number): number {
  return TOP_PX + ROW_PX * (index + 0.5)
}
