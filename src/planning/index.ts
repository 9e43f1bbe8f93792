export { carriedBudget } from './carried-budget.js'
export { type DialAnswer, dialForFeed, type FeedAnswer, feedAtDial } from './lookups.js'
export { type MeasuredRange, measuredRange } from './measured-range.js'
export { type RunSheet, runSheet, type SheetRow, type SheetWishes } from './run-sheet.js'
export {
  nextStep,
  type PlannedAxis,
  type PlanStep,
  type Procedure,
  planSession,
  recheckSteps,
  type SessionPlan,
  sessionProgress,
} from './session-plan.js'
export { type SuggestedTravel, suggestedTravel, timedDistanceMm } from './travel-distance.js'
export {
  type BudgetLine,
  type BudgetSource,
  type UncertaintyBudget,
  uncertaintyBudget,
} from './uncertainty-budget.js'
