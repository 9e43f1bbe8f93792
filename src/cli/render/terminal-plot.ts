/** One set of points of a plot. */
export interface PlotSeries {
  /** `line` joins the points; `points` sets a character at each. */
  readonly kind: 'line' | 'points'
  readonly points: readonly (readonly [x: number, y: number])[]
  /** For points: the character, and what stands for it where only ASCII shows. */
  readonly glyph?: { readonly unicode: string; readonly ascii: string }
}

interface TerminalPlot {
  readonly series: readonly PlotSeries[]
  readonly xTitle: string
  readonly yTitle: string
  /** How the ends of the x axis are written; as numbers where left out. */
  readonly xText?: (value: number) => string
}

export interface PlotSize {
  /** Characters across, labels included. */
  readonly width: number
  /** Lines of the plot itself, two or more. */
  readonly height: number
  /** Braille dots for lines; otherwise plain ASCII. */
  readonly unicode: boolean
}

/**
 * Places of a braille cell's eight dots as bits (source: Unicode 15.0, chapter 21.1): two columns, four rows.
 */
const BRAILLE_BITS = [
  [0x01, 0x08],
  [0x02, 0x10],
  [0x04, 0x20],
  [0x40, 0x80],
] as const
/** First of the braille patterns (source: the same). */
const BRAILLE_BASE = 0x2800

/**
 * A plot in characters: lines as braille dots (or dots of ASCII), points as characters on top, labels at both ends of
 * the axes. Later series are drawn over earlier ones.
 */
export function terminalPlot({ series, xTitle, yTitle, xText }: TerminalPlot, size: PlotSize): string {
  const all = series.flatMap((one) => one.points)
  if (all.length === 0) return 'Nothing to draw.'
  const [xLow, xHigh] = extent(all.map(([x]) => x))
  const [yLow, yHigh] = extent(all.map(([, y]) => y))
  const last = size.height - 1
  const labels = new Map(
    [0, Math.floor(last / 2), last].map((row) => [
      row,
      shortest(yHigh - (row / last) * (yHigh - yLow), yHigh - yLow),
    ]),
  )
  const margin = Math.max(...[...labels.values()].map((text) => text.length))
  const canvas = new Canvas(Math.max(10, size.width - margin - 3), size.height, size.unicode)
  const place = ([x, y]: readonly [number, number]): [number, number] => [
    (x - xLow) / (xHigh - xLow),
    (y - yLow) / (yHigh - yLow),
  ]
  for (const { kind, points, glyph } of series) {
    const placed = points.map(place)
    if (kind === 'line') canvas.line(placed)
    else for (const at of placed) canvas.point(at, (size.unicode ? glyph?.unicode : glyph?.ascii) ?? '*')
  }
  const [wall, corner, floor] = size.unicode ? ['│', '└', '─'] : ['|', '+', '-']
  const rows = canvas.rows().map((row, i) => `${(labels.get(i) ?? '').padStart(margin)} ${wall}${row}`)
  const [left, right] = [xLow, xHigh].map(xText ?? ((end) => shortest(end, xHigh - xLow))) as [string, string]
  const room = Math.max(1, canvas.columns - left.length - right.length)
  const title = xTitle.length + 2 <= room ? xTitle : ''
  const before = Math.floor((room - title.length) / 2)
  return [
    `${' '.repeat(margin)} ${yTitle}`,
    ...rows.map((row) => row.trimEnd()),
    `${' '.repeat(margin)} ${corner}${floor!.repeat(canvas.columns)}`,
    `${' '.repeat(margin)}  ${left}${' '.repeat(before)}${title}${' '.repeat(room - title.length - before)}${right}`,
  ].join('\n')
}

/** Characters that lines and points are set on; places go from 0 to 1, upwards and to the right. */
class Canvas {
  readonly columns: number
  readonly #lines: number
  readonly #unicode: boolean
  readonly #dots: Uint8Array
  readonly #points = new Map<number, string>()

  constructor(columns: number, lines: number, unicode: boolean) {
    this.columns = columns
    this.#lines = lines
    this.#unicode = unicode
    this.#dots = new Uint8Array(columns * lines)
  }

  point([x, y]: readonly [number, number], character: string): void {
    const column = Math.round(x * (this.columns - 1))
    const row = Math.round((1 - y) * (this.#lines - 1))
    this.#points.set(row * this.columns + column, character)
  }

  line(points: readonly (readonly [number, number])[]): void {
    const [across, down] = this.#unicode ? [2, 4] : [1, 1]
    const [wide, high] = [this.columns * across - 1, this.#lines * down - 1]
    for (const [i, to] of points.entries()) {
      const from = points[Math.max(0, i - 1)]!
      const steps = Math.max(
        1,
        Math.ceil(Math.abs(to[0] - from[0]) * wide),
        Math.ceil(Math.abs(to[1] - from[1]) * high),
      )
      for (let step = 0; step <= steps; step++) {
        const share = step / steps
        const dotX = Math.round((from[0] + share * (to[0] - from[0])) * wide)
        const dotY = Math.round((1 - from[1] - share * (to[1] - from[1])) * high)
        const cell = Math.floor(dotY / down) * this.columns + Math.floor(dotX / across)
        // Later series are drawn over earlier ones, lines over points too.
        this.#points.delete(cell)
        this.#dots[cell]! |= this.#unicode ? BRAILLE_BITS[dotY % 4]![dotX % 2]! : 1
      }
    }
  }

  rows(): string[] {
    return Array.from({ length: this.#lines }, (_, row) =>
      Array.from({ length: this.columns }, (_, column) => {
        const cell = row * this.columns + column
        const dots = this.#dots[cell]!
        return (
          this.#points.get(cell) ??
          (dots === 0 ? ' ' : this.#unicode ? String.fromCharCode(BRAILLE_BASE + dots) : '.')
        )
      }).join(''),
    )
  }
}

function extent(values: readonly number[]): [number, number] {
  const low = values.reduce((least, value) => Math.min(least, value), Number.POSITIVE_INFINITY)
  const high = values.reduce((most, value) => Math.max(most, value), Number.NEGATIVE_INFINITY)
  return high > low ? [low, high] : [low - 0.5, high + 0.5]
}

/** As many decimals as tell places of the axis apart. */
function shortest(value: number, span: number): string {
  const decimals = Math.min(6, Math.max(0, 2 - Math.floor(Math.log10(span))))
  return String(Number(value.toFixed(decimals)))
}
