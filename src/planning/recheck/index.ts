export { carryOver, type ShapeKept, shapeKept } from './carry-over.js'
export { amountAsPercent } from './cause.js'
export type { ChartPoint } from './chart-point.js'
export {
  type Comparison,
  compareGroups,
  likeness,
} from './compare.js'
export type { PercentDifference, Verdict } from './decision.js'
export { twoOneSidedTests } from './equivalence.js'
export type { RecheckEvidence } from './evidence.js'
export { MOST_LOOKS } from './looks.js'
export type { FinestTolerance, RecheckOutlook } from './next-runs/finest.js'
export { bottomMiddleTop, planRecheck } from './next-runs/plan-marks.js'
export type { NextRuns } from './next-runs/plan-next.js'
export { type DialRange, type RecheckOutcome, recheck, recheckedChange } from './recheck.js'
export { relativeSlopes } from './relative-slopes.js'
export type { CheckedTable, DaysBetween } from './table-feed.js'
