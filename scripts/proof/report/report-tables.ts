import { MARKS } from '../jobs.js'
import { BAND_FAMILIES, UNSEEN_FAMILIES } from '../machines/dial-families.js'
import type { MotorResult } from '../measured-motors.js'
import type { Findings } from '../tally.js'
import { type Figure, type Row, rowOf } from './targets.js'

/** A Markdown table of rows with target and verdict. */
export function decidingTable(rows: readonly Row[]): string {
  return markdownTable(
    ['figure', 'found', 'its error', 'from', 'target', 'verdict'],
    rows.map(({ figure, level, estimate, verdict }) => [
      level === 'all' ? figure.title : `${figure.title}; ${level}`,
      said(figure, estimate.value),
      `± ${said(figure, estimate.standardError)}`,
      String(estimate.count),
      figure.wanted,
      verdict === 'missed' ? '**missed**' : (verdict ?? ''),
    ]),
  )
}

/** Levels of a dimension as rows, figures as columns. */
export function breakdownTable(findings: Findings, dimension: string, figures: readonly Figure[]): string {
  const rows = levelsOf(findings, dimension, figures).map((level) => [
    level,
    ...figures.map((figure) => toldIn(findings, figure, dimension, level)),
  ])
  const heads = figures.map((figure) => `${figure.title} (${figure.wanted})`)
  return `${markdownTable(['', ...heads], rows)}\n\nBold: off the target by more than two standard errors.`
}

/** One figure of every continuous family at every number of marks. */
export function byFamilyAndMarks(findings: Findings, figure: Figure): string {
  const rows = [...BAND_FAMILIES, ...UNSEEN_FAMILIES].map((family) => [
    family,
    ...MARKS.map((marks) => toldIn(findings, figure, 'family and marks', `${family}, ${marks} marks`)),
  ])
  const heads = MARKS.map((marks) => `${marks} marks (${figure.wanted})`)
  return markdownTable(['', ...heads], rows)
}

/** One cell of a breakdown, bold where the target is missed. */
function toldIn(findings: Findings, figure: Figure, dimension: string, level: string): string {
  const row = rowOf(findings, figure, dimension, level)
  if (row === null) return ''
  const told = `${said(figure, row.estimate.value)} ± ${said(figure, row.estimate.standardError)}`
  return row.verdict === 'missed' ? `**${told}**` : told
}

/** The measured motors. */
export function motorTable(motors: readonly MotorResult[]): string {
  return markdownTable(
    [
      'marks',
      'wheel',
      'marks from session',
      'other points of',
      'within next setting',
      'median half width',
      'sessions differ by (root mean square)',
      'median distance from curve',
    ],
    motors.map((result) => [
      result.plan,
      result.wheel,
      result.sessions,
      result.tested,
      result.heldPercent === null
        ? 'no band'
        : `${result.heldPercent.value.toFixed(1)} ± ${result.heldPercent.standardError.toFixed(1)} % of ${result.heldPercent.count}`,
      result.halfWidthPercent === null ? '' : `${result.halfWidthPercent.toFixed(1)} %`,
      `${result.differPercent.toFixed(1)} %`,
      `${result.offPercent.toFixed(2)} %`,
    ]),
  )
}

/** Every level of a dimension that one of the figures was found at. */
export function levelsOf(findings: Findings, dimension: string, figures: readonly Figure[]): string[] {
  const levels = new Set<string>()
  for (const key of [...Object.keys(findings.ratios), ...Object.keys(findings.values)]) {
    const [figure, of, level] = key.split('|')
    if (of === dimension && level !== undefined && figures.some(({ id }) => id === figure)) levels.add(level)
  }
  return [...levels].sort((a, b) => a.localeCompare(b, 'en', { numeric: true }))
}

/** A value in the unit of its figure. */
export function said({ unit }: Figure, value: number): string {
  if (!Number.isFinite(value)) return '?'
  return unit === '%' ? `${value.toFixed(1)} %` : unit === '' ? value.toFixed(2) : `${value.toFixed(4)} %`
}

export function markdownTable(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const lines = [head, head.map(() => '---'), ...rows]
  return lines.map((cells) => `| ${cells.join(' | ')} |`).join('\n')
}
