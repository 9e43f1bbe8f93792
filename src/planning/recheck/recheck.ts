import { seedFrom } from '../../numbers/index.js'
import type { Direction } from '../../traverse/index.js'
import type { ShapeKept } from './carry-over.js'
import { type CauseFound, type FeedShift, findCause, straightShift } from './cause.js'
import { type ChartPoint, chartPoint } from './chart-point.js'
import { type Decision, decide } from './decision.js'
import { type RecheckEvidence, type RecheckedMark, type RecheckedMarks, recheckedMarks } from './evidence.js'
import { fastestOf } from './group-runs.js'
import { logFeedAlong, relativeVariance } from './log-feed.js'
import { lookLevel } from './looks.js'
import { asPercent } from './mark-differences.js'
import { sessionOf } from './mean-errors.js'
import { type NextPlan, type NextRuns, planNext } from './next-runs/plan-next.js'
import { markToTellApart } from './next-runs/tell-apart.js'
import type { CheckedTable } from './table-feed.js'

/** What a recheck came to. */
export interface RecheckOutcome extends Decision {
  readonly rechecked: readonly RecheckedMark[]
  /** The part of the dial that the verdict is for: what was checked in every direction; null where they share none. */
  readonly range: DialRange | null
  /** What explains the change; null where none is shown. */
  readonly cause: CauseFound | null
  /** What to do next; null where the recheck has decided. */
  readonly next: NextPlan | null
  /** Where the machine moved but two causes are possible: runs that tell them apart; else null. */
  readonly tellsApart: NextRuns | null
  readonly notCompared: readonly string[]
  readonly chartPoint: ChartPoint
  /** What was allowed for the days of table and new runs; null where all are of one day. */
  readonly days: DaysAllowed | null
}

/** What a recheck allowed for days. */
interface DaysAllowed {
  /** By how much the mean of the days before the new runs lies above the table, percent; the table was held to that mean. */
  readonly shiftPercent: number
  /** Days of the new runs. */
  readonly count: number
}

/** A part of the dial, lowest number first. */
export interface DialRange {
  readonly from: number
  readonly to: number
}

/**
 * Whether tables still hold, by new runs at some of their marks. Looks at the same question before this one stand in the
 * evidence, their runs among the new runs.
 *
 * @throws DataError as `recheckedMarks` does
 */
export function recheck(
  evidence: RecheckEvidence,
  { withinPercent }: { readonly withinPercent: number },
): RecheckOutcome {
  const compared = recheckedMarks(evidence)
  const { marks, posterior, notCompared, agreements } = compared
  const seed = seedFrom(marks.map((mark) => `${mark.dial},${mark.difference.toPrecision(9)}`).join(';'))
  const slopes = evidence.options.stepped ? null : marks.map((mark) => mark.relativeSlope)
  const decision = decide(compared, { withinPercent, level: lookLevel(agreements), seed, slopes })
  const isMoved = decision.verdict === 'moved'
  const cause = isMoved || decision.changed ? causeOf(evidence, compared) : null
  const fastest = fastestOf(...evidence.earlier, evidence.runs)
  return {
    ...decision,
    rechecked: marks,
    range: checkedRange(marks),
    cause,
    tellsApart: isMoved && cause ? markToTellApart(evidence.tables, posterior, fastest, cause) : null,
    next:
      decision.verdict === 'undecided'
        ? planNext(marks, posterior, { withinPercent, agreements, present: presentSession(evidence), seed })
        : null,
    notCompared,
    chartPoint: chartPoint(compared),
    days: daysAllowed(evidence),
  }
}

function daysAllowed({ tables, runs }: RecheckEvidence): DaysAllowed | null {
  const days = tables[0]?.days
  const sessions = new Set(runs.map(sessionOf))
  const ofOneDay = days === undefined || [...sessions].every((one) => days.ownDays.has(one))
  if (ofOneDay && sessions.size < 2) return null
  return { shiftPercent: asPercent(days?.logShift ?? 0), count: sessions.size }
}

/** The session of the newest runs, where runs are not told to be made in another. */
function presentSession({ tables }: RecheckEvidence): string {
  return tables[0]?.days?.present ?? ''
}

function checkedRange(marks: readonly RecheckedMark[]): DialRange | null {
  const sides = ([1, -1] as const)
    .map((direction) => marks.filter((mark) => mark.direction === direction).map(({ dial }) => dial))
    .filter((dials) => dials.length > 0)
  const from = Math.max(...sides.map((dials) => Math.min(...dials)))
  const to = Math.min(...sides.map((dials) => Math.max(...dials)))
  return from <= to ? { from, to } : null
}

function causeOf(evidence: RecheckEvidence, compared: RecheckedMarks): CauseFound {
  const { marks } = compared
  return findCause(
    compared,
    evidence.options.stepped ? null : feedShift(evidence.tables, marks),
    marks.map((mark) => mark.relativeSlope),
  )
}

/**
 * By how much tables have moved, taking the cause for known; null where the dial cannot turn.
 *
 * @throws DataError as `recheckedMarks` does
 */
export function recheckedChange(evidence: RecheckEvidence, cause: ShapeKept['cause']): ShapeKept | null {
  const { logScale, offset } = causeOf(evidence, recheckedMarks(evidence))
  if (cause === 'scale') return { cause, amount: logScale }
  return offset === null ? null : { cause, amount: offset }
}

/** How feeds change as the knob turns on its shaft: along the table's curve, or straight where there is none. */
function feedShift(tables: readonly CheckedTable[], marks: readonly RecheckedMark[]): FeedShift {
  const curves = new Map<Direction, CheckedTable['curve']>(
    tables.map((table) => [table.direction, table.curve]),
  )
  const straight = straightShift(marks)
  return (offset) =>
    straight(offset).map((alongSlope, i) => {
      const { dial, direction } = marks[i]!
      const curve = curves.get(direction) ?? []
      if (curve.length < 2) return alongSlope
      const variance = relativeVariance(curve, dial + offset) - relativeVariance(curve, dial)
      return {
        change: logFeedAlong(curve, dial + offset) - logFeedAlong(curve, dial),
        variance: Math.max(0, variance),
      }
    })
}
