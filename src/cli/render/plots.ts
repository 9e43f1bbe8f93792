import { type DirectionData, type RunHeading, type RunTrack, SMALL_UNIT } from '../../pictures/index.js'
import { directionSign, feedUnit, formatDial, fromMm, type LengthUnit } from '../../units/index.js'
import { tableTitle } from './feed-table.js'
import { type PlotSeries, type PlotSize, terminalPlot } from './terminal-plot.js'

const MARK_GLYPHS = {
  1: { unicode: '●', ascii: 'x' },
  [-1]: { unicode: '◇', ascii: 'o' },
} as const

/** Edges of a band: dots, which curve and marks are drawn over. */
const BAND_GLYPH = { unicode: '·', ascii: ':' } as const
/** Dots along one edge of a band: one in two characters of a plot of the usual width (judgement). */
const BAND_DOTS = 34

/** The dial curves as a plot of characters, with the band of the next setting and the marks. */
export function renderCurvePlot(data: readonly DirectionData[], size: PlotSize): string {
  const table = data[0]?.table
  const unit = table?.unit ?? 'mm'
  const plot = terminalPlot(
    {
      series: [
        ...data.map(bandEdges),
        ...data.map(({ curve }) => ({
          kind: 'line' as const,
          points: curve.map((point) => [point.dial, point.feed] as const),
        })),
        ...data.map(({ direction, marks }) => ({
          kind: 'points' as const,
          points: marks.map((mark) => [mark.dial, mark.feed] as const),
          glyph: MARK_GLYPHS[direction],
        })),
      ],
      xTitle: 'dial',
      yTitle: feedUnit(unit),
      ...(table?.lettered ? { xText: (dial: number) => formatDial(dial, table) } : {}),
    },
    size,
  )
  const key = data.map(({ direction }) => {
    const glyph = MARK_GLYPHS[direction]
    return `${size.unicode ? glyph.unicode : glyph.ascii} marks, direction ${directionSign(direction)}`
  })
  const dot = size.unicode ? BAND_GLYPH.unicode : BAND_GLYPH.ascii
  const band = data.some((one) => bandEdges(one).points.length > 0) ? [`${dot} next setting, 95 %`] : []
  return [...data.map(({ table }) => tableTitle(table)), plot, [...key, ...band].join('   ')].join('\n')
}

function bandEdges({ curve }: DirectionData): PlotSeries {
  const every = Math.max(1, Math.round(curve.length / BAND_DOTS))
  const points = curve
    .filter((_, i) => i % every === 0)
    .flatMap(({ dial, next95 }) => (next95 ?? []).map((edge) => [dial, edge] as const))
  return { kind: 'points', points, glyph: BAND_GLYPH }
}

/** A run as plots of characters: its track, and the residuals of its steady part. */
export function renderRunPlot(
  heading: RunHeading,
  track: RunTrack,
  unit: LengthUnit,
  size: PlotSize,
): string {
  const { phases, steady } = track
  const lines = [
    heading.title,
    ...heading.subtitles,
    terminalPlot(
      {
        series: [
          {
            kind: 'line',
            points: track.positionMm.map((position, i) => [track.timeS[i]!, fromMm(position, unit)] as const),
          },
        ],
        xTitle: 'time, s',
        yTitle: `position, ${unit}`,
      },
      size,
    ),
  ]
  if (phases !== null) {
    const at = (timeS: number) => `${timeS.toFixed(1)} s`
    lines.push(
      `starts at ${at(phases.startS)}, steady from ${at(phases.steadyFromS)} to ${at(phases.steadyToS)}, at rest at ${at(phases.endS)}`,
    )
  }
  if (steady !== null) {
    const small = SMALL_UNIT[unit]
    const points = (values: readonly number[]) =>
      values.map((value, i) => [steady.timeS[i]!, value * small.perMm] as const)
    lines.push(
      '',
      terminalPlot(
        {
          series: [
            { kind: 'points', points: points(steady.residualMm), glyph: { unicode: '·', ascii: '.' } },
            ...(steady.rippleMm === null
              ? []
              : [
                  {
                    kind: 'points' as const,
                    points: points(steady.rippleMm),
                    glyph: { unicode: '●', ascii: 'x' },
                  },
                ]),
          ],
          xTitle: 'time, s',
          yTitle: `distance of the steady part from a straight line, ${small.name}`,
        },
        { ...size, height: Math.ceil(0.6 * size.height) },
      ),
    )
    if (steady.rippleMm !== null)
      lines.push(`${size.unicode ? '●' : 'x'} ripple of the leadscrew   ${size.unicode ? '·' : '.'} readings`)
  }
  return lines.join('\n')
}
