import { type DirectionData, type RunHeading, type RunTrack, SMALL_UNIT } from '../../pictures/index.js'
import { directionSign, feedUnit, fromMm, type LengthUnit } from '../../units/index.js'
import { tableTitle } from './feed-table.js'
import { type PlotSize, terminalPlot } from './terminal-plot.js'

const MARK_GLYPHS = {
  1: { unicode: '●', ascii: 'x' },
  [-1]: { unicode: '◇', ascii: 'o' },
} as const

/** The dial curves as a plot of characters. */
export function renderCurvePlot(data: readonly DirectionData[], size: PlotSize): string {
  const unit = data[0]?.table.unit ?? 'mm'
  const plot = terminalPlot(
    {
      series: [
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
    },
    size,
  )
  const key = data.map(({ direction }) => {
    const glyph = MARK_GLYPHS[direction]
    return `${size.unicode ? glyph.unicode : glyph.ascii} marks, direction ${directionSign(direction)}`
  })
  return [...data.map(({ table }) => tableTitle(table)), plot, key.join('   ')].join('\n')
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
