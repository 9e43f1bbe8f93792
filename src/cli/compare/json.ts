import type { ComparedRuns } from '../../jobs/index.js'
import { likeness } from '../../planning/recheck/index.js'
import { directionSign, type LengthUnit } from '../../units/index.js'
import { feedJson } from '../json-shapes.js'

/** A comparison as JSON. */
export function comparisonJson(
  { comparison, left, right, conditions }: ComparedRuns,
  withinPercent: number,
  unit: LengthUnit,
): unknown {
  return {
    verdict: likeness(comparison),
    withinPercent,
    groups: [left, right].map(({ name, runs }) => ({ name, runIds: runs.map((run) => run.id) })),
    marks: comparison.compared.map((mark, i) => {
      const decision = comparison.marks[i]!
      return {
        dial: mark.dial,
        directions: [directionSign(mark.direction), directionSign(mark.rightDirection)],
        feeds: [feedJson(mark.leftFeed, unit), feedJson(mark.rightFeed, unit)],
        runs: mark.runs,
        differencePercent: decision.percent,
        verdict: likeness(decision),
      }
    }),
    overall: { differencePercent: comparison.scale, probability: comparison.probability },
    conditions,
  }
}
