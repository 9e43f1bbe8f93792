import { driftOf, type TableInForce, tablesInForce } from '../../jobs/index.js'
import { type DriftPoint, type DriftSection, unnoticedDrift } from '../../planning/control-charts/index.js'
import type { Axis, Store } from '../../store/index.js'
import { directionSign } from '../json-shapes.js'
import { type PlotSize, terminalPlot } from '../render/terminal-plot.js'
import { paintOut } from '../terminal.js'

/** How it stands with an axis: the tables in force and the chart of their rechecks. */
export interface AxisState {
  readonly axis: Axis
  readonly inForce: readonly TableInForce[]
  readonly sections: readonly DriftSection[]
  /** The newest point of a drift that no single recheck told of. */
  readonly drift: DriftPoint | null
}

export function stateOf(store: Store, axis: Axis, nowIso: string): AxisState {
  const sections = driftOf(store, axis)
  return {
    axis,
    inForce: tablesInForce(store, axis, nowIso),
    sections,
    drift: unnoticedDrift(sections),
  }
}

export function stateJson({ axis, inForce, sections, drift }: AxisState): unknown {
  return {
    axis: axis.name,
    tablesInForce: inForce.map((table) => ({ ...table, direction: directionSign(table.direction) })),
    chart: sections.map(({ tables, points }) => ({
      tables,
      points: points.map((point) => ({
        at: point.at,
        verdict: point.verdict,
        reason: point.reason,
        differencePercent: { value: point.percent, interval95: point.interval95 },
        average: {
          percent: point.averagePercent,
          limitsPercent: point.limitsPercent,
          beyond: point.beyond,
        },
      })),
    })),
    warnings: drift === null ? [] : [{ code: 'drift', message: driftSentence(drift) }],
  }
}

/** How old the tables in force are, and a drift where there is one; a sentence each. */
export function stateSentences({ axis, inForce, drift }: AxisState): string[] {
  return [
    ...inForce.map((table) => inForceSentence(axis, table)),
    ...(drift === null ? [] : [driftSentence(drift)]),
  ]
}

/** The state as text, a paragraph each. */
export function renderState(state: AxisState, size: PlotSize): string[] {
  const { axis, inForce, sections, drift } = state
  const count = sections.reduce((sum, section) => sum + section.points.length, 0)
  return [
    ...(inForce.length === 0 ? [] : [inForce.map((table) => inForceSentence(axis, table)).join('\n')]),
    ...(count < 2 ? [] : [driftPlot(axis, sections, size)]),
    ...(drift === null ? [] : [paintOut('yellow', driftSentence(drift))]),
  ]
}

function inForceSentence(axis: Axis, { direction, version, ageDays, lastRecheck }: TableInForce): string {
  const checked =
    lastRecheck === null
      ? 'not rechecked since'
      : `last rechecked ${days(lastRecheck.ageDays)} ago: ${lastRecheck.verdict} within ${lastRecheck.withinPercent} %`
  return `axis ${axis.name}: table ${version} of direction ${directionSign(direction)} is ${days(ageDays)} old, ${checked}.`
}

function days(ageDays: number): string {
  const whole = Math.floor(ageDays)
  return whole === 1 ? '1 day' : `${whole} days`
}

function driftSentence({ averagePercent, limitsPercent: [low, high] }: DriftPoint): string {
  return `The feed drifts: the weighted average of the rechecks is ${signed(averagePercent)} %, beyond its limits of ${signed(low)} … ${signed(high)} %, although no single recheck found the table moved. Recheck with more runs, or calibrate.`
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

function signed(value: number): string {
  return `${value > 0 ? '+' : ''}${value.toFixed(2)}`
}
