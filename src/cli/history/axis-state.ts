import type { AxisState } from '../../jobs/index.js'
import type { ChartPoint, DriftSection } from '../../planning/control-charts/index.js'
import type { Axis } from '../../store/index.js'
import { directionSign } from '../../units/index.js'
import { daySentence, daysDriftSentence, driftSentence, inForceSentence } from '../../words/index.js'
import { type PlotSize, terminalPlot } from '../render/terminal-plot.js'
import { paint } from '../terminal/terminal.js'

export function stateJson({ axis, inForce, sections, drift, days }: AxisState): unknown {
  const wandered = daysDriftSentence(days)
  return {
    axis: axis.name,
    tablesInForce: inForce.map((table) => ({ ...table, direction: directionSign(table.direction) })),
    chart: sections.map(({ tables, points }) => ({
      tables,
      points: points.map((point) => ({
        at: point.at,
        verdict: point.verdict,
        reason: point.reason,
        ...chartedJson(point),
      })),
    })),
    days: days.map((day) => ({
      ...{ session: day.session, at: day.at, runs: day.runs, checkRuns: day.checkRuns },
      ...chartedJson(day),
    })),
    warnings: [
      ...(drift === null ? [] : [{ code: 'drift', message: driftSentence(drift) }]),
      ...(wandered === null ? [] : [{ code: 'days-drift', message: wandered }]),
    ],
  }
}

function chartedJson(point: ChartPoint) {
  return {
    differencePercent: { value: point.percent, interval95: point.interval95 },
    average: {
      percent: point.averagePercent,
      limitsPercent: point.limitsPercent,
      beyond: point.beyond,
    },
  }
}

/** The state as text, a paragraph each. */
export function renderState(state: AxisState, size: PlotSize): string[] {
  const { axis, inForce, sections, drift, days } = state
  const wandered = daysDriftSentence(days)
  const count = sections.reduce((sum, section) => sum + section.points.length, 0)
  return [
    ...(inForce.length === 0 ? [] : [inForce.map((table) => inForceSentence(axis, table)).join('\n')]),
    ...(count < 2 ? [] : [driftPlot(axis, sections, size)]),
    ...(drift === null ? [] : [paint('yellow', driftSentence(drift))]),
    ...(days.length === 0 ? [] : [days.map((day) => `axis ${axis.name}, ${daySentence(day)}`).join('\n')]),
    ...(wandered === null ? [] : [paint('yellow', wandered)]),
  ]
}

const GLYPHS = {
  recheck: { unicode: '●', ascii: 'x' },
  average: { unicode: '◇', ascii: 'o' },
} as const

function driftPlot(axis: Axis, sections: readonly DriftSection[], size: PlotSize): string {
  const points = sections.flatMap((section) => section.points)
  const plot = terminalPlot(
    {
      series: [
        { kind: 'line', points: [[1, 0] as const, [points.length, 0] as const] },
        ...sections.flatMap((section, s) => limitLines(section, firstPlace(sections, s))),
        {
          kind: 'points',
          points: points.map((point, i) => [i + 1, point.percent] as const),
          glyph: GLYPHS.recheck,
        },
        {
          kind: 'points',
          points: points.map((point, i) => [i + 1, point.averagePercent] as const),
          glyph: GLYPHS.average,
        },
      ],
      xTitle: `rechecks ${points[0]?.at.slice(0, 10)} to ${points.at(-1)?.at.slice(0, 10)}`,
      yTitle: `axis ${axis.name}: feed against the table, percent`,
    },
    size,
  )
  const glyph = (name: keyof typeof GLYPHS) => (size.unicode ? GLYPHS[name].unicode : GLYPHS[name].ascii)
  return `${plot}\n${glyph('recheck')} recheck   ${glyph('average')} weighted average   lines: zero and the limits of the average`
}

function firstPlace(sections: readonly DriftSection[], index: number): number {
  return sections.slice(0, index).reduce((sum, section) => sum + section.points.length, 1)
}

function limitLines({ points }: DriftSection, from: number) {
  return ([0, 1] as const).map((side) => ({
    kind: 'line' as const,
    points: points.map((point, i) => [from + i, point.limitsPercent[side]] as const),
  }))
}
