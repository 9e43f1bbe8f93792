import { scaleLinear } from 'd3-scale'
import { area, line } from 'd3-shape'
import { type CurvePoint, fitAxis, type MarkFit } from '../../../src/regression/index.js'
import { seededRandom } from '../../../src/simulation/index.js'
import { measure } from '../campaign.js'
import { CONTINUOUS_FAMILIES } from '../machines/dial-families.js'
import { drawnMill } from '../machines/drawn-mill.js'
import { svg, text } from './dot-chart.js'

const WIDTH_PX = 300
const HEIGHT_PX = 220
const COLUMNS = 4
const MARGIN_PX = { left: 44, right: 14, top: 30, bottom: 28 }

/** One fitted machine of each continuous family: its marks, its band, the band of the next setting, and the truth. */
export function exampleCurves(seed: number): string {
  const panels = CONTINUOUS_FAMILIES.map((family, k) => {
    const random = seededRandom(seed + 17 * k)
    const campaign = measure(drawnMill(family, seed + 31 * k), { marks: 6, runs: 3 }, 'readout', random)
    const [side] = fitAxis(campaign.runs, { stepped: false }).directions
    const [column, row] = [k % COLUMNS, Math.floor(k / COLUMNS)]
    const body = side ? curvePanel(family, side.curve, side.marks, (dial) => campaign.trueFeed(dial, 1)) : ''
    return `<g transform="translate(${column * WIDTH_PX} ${40 + row * HEIGHT_PX})">${body}</g>`
  })
  const title = text(
    10,
    24,
    'One machine of each family: 6 marks × 3 runs, mm/min over dial',
    'font-size="15" font-weight="600"',
  )
  const rows = Math.ceil(CONTINUOUS_FAMILIES.length / COLUMNS)
  const key = text(
    10,
    40 + rows * HEIGHT_PX + 14,
    'dark band: 95 % of the feed · pale band: 95 % of the next setting · dots: marks · dashes: truth',
  )
  return svg(COLUMNS * WIDTH_PX, 64 + rows * HEIGHT_PX, [title, ...panels, key].join('\n'))
}

function curvePanel(
  title: string,
  curve: readonly CurvePoint[],
  marks: readonly MarkFit[],
  truth: (dial: number) => number,
): string {
  const dials = curve.map((point) => point.dial)
  const top = Math.max(...curve.map((point) => point.nextSetting95?.[1] ?? point.feedMmPerMin))
  const x = scaleLinear()
    .domain([Math.min(...dials), Math.max(...dials)])
    .range([MARGIN_PX.left, WIDTH_PX - MARGIN_PX.right])
  const y = scaleLinear()
    .domain([0, top])
    .nice()
    .range([HEIGHT_PX - MARGIN_PX.bottom, MARGIN_PX.top])
  const band = (edges: (point: CurvePoint) => readonly [number, number] | null, colour: string) =>
    `<path fill="${colour}" d="${area<CurvePoint>()
      .x((point) => x(point.dial))
      .y0((point) => y(edges(point)?.[0] ?? point.feedMmPerMin))
      .y1((point) => y(edges(point)?.[1] ?? point.feedMmPerMin))(curve)}"/>`
  const path = line<CurvePoint>()
    .x((point) => x(point.dial))
    .y((point) => y(truth(point.dial)))(curve)
  return [
    band((point) => point.nextSetting95, '#dbe7ee'),
    band((point) => point.interval95, '#8fb3c7'),
    `<path fill="none" stroke="#b3261e" stroke-width="1.2" stroke-dasharray="4 3" d="${path}"/>`,
    ...marks.map(
      (mark) =>
        `<circle cx="${x(mark.dial).toFixed(1)}" cy="${y(mark.feedMmPerMin).toFixed(1)}" r="2.5" fill="#26323a"/>`,
    ),
    ...y
      .ticks(4)
      .map((tick) => text(MARGIN_PX.left - 6, y(tick) + 4, String(tick), 'text-anchor="end" font-size="10"')),
    ...x
      .ticks(5)
      .map((tick) => text(x(tick), HEIGHT_PX - 12, String(tick), 'text-anchor="middle" font-size="10"')),
    text(MARGIN_PX.left, 20, title, 'font-weight="600"'),
  ].join('\n')
}
