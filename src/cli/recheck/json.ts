import { nextRuns, type RecheckReport } from '../../jobs/index.js'
import { amountAsPercent, type RecheckOutcome } from '../../planning/recheck/index.js'
import type { StoredTable } from '../../store/index.js'
import type { LengthUnit } from '../../units/index.js'
import { directionSign } from '../../units/index.js'
import { feedJson, tableReference } from '../json-shapes.js'

/** A recheck as JSON in the machine's unit. */
export function recheckJson(
  report: RecheckReport,
  adopted: readonly StoredTable[],
  unit: LengthUnit,
): Record<string, unknown> {
  const { outcome } = report
  return {
    verdict: outcome.verdict,
    changed: outcome.changed,
    range: outcome.range,
    withinPercent: report.withinPercent,
    reason: report.reason,
    look: report.look,
    marks: outcome.rechecked.map((mark, i) => {
      const { percent, verdict } = outcome.marks[i]!
      return {
        dial: mark.dial,
        direction: directionSign(mark.direction),
        // biome-ignore lint/suspicious/noThenProperty: the word for the feed of the table; nothing awaits it
        then: feedJson(mark.tableFeed, unit),
        now: feedJson(mark.newFeed, unit),
        runs: mark.runs,
        differencePercent: percent,
        verdict,
      }
    }),
    overall: { scalePercent: outcome.scale, probability: outcome.probability, beyond: outcome.beyond },
    cause: causeJson(outcome),
    next: nextJson(report),
    nextDecides: outcome.next?.decides ?? null,
    nextOnAnotherDay: outcome.next?.onAnotherDay ?? false,
    nextDays: outcome.next?.days ?? null,
    finest: outcome.next?.finest ?? null,
    days: outcome.days,
    conditions: report.conditions,
    notCompared: outcome.notCompared,
    runIds: report.runIds,
    tables: report.tables.map(tableReference),
    adopted: adopted.map(tableReference),
  }
}

function causeJson({ cause }: RecheckOutcome): unknown {
  if (cause === null) return null
  return {
    explains: cause.cause,
    probability: cause.probability,
    scalePercent: amountAsPercent(cause.logScale),
    dialOffset:
      cause.offset === null ? null : { value: cause.offset.value, interval95: cause.offset.interval95 },
  }
}

function nextJson({ outcome, tables }: RecheckReport): unknown[] {
  return nextRuns(outcome).map(({ dial, runs }) => ({
    dial,
    runs,
    directions: tables.map((table) => directionSign(table.direction)),
  }))
}
