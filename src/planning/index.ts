export { carriedBudget } from './budget/carried-budget.js'
export { withDayLine } from './budget/day-line.js'
export {
  type BudgetLine,
  type UncertaintyBudget,
  uncertaintyBudget,
} from './budget/uncertainty-budget.js'
export { type DialAnswer, dialForFeed, type FeedAnswer, feedAtDial } from './lookup/lookups.js'
export { answeredRange, measuredRange } from './lookup/measured-range.js'
export { standingWarnings } from './lookup/standing-warnings.js'
export { type RunSheet, runSheet } from './session/run-sheet.js'
export {
  nextStep,
  type PlanStep,
  type Procedure,
  planSession,
  recheckSteps,
  type SessionPlan,
} from './session/session-plan.js'
export { minutesOf, type SessionPace, sessionTimeS } from './session/session-time.js'
export {
  GUARDS_S,
  HOLD_S,
  HOLD_TURNS,
  holdTimeS,
  type LackingRuns,
  type LikelySetting,
  onceThrough,
  type SweepOrder,
  settingsThatFit,
  sweepTimeS,
  TURN_S,
  usableTravelMm,
} from './session/sweep-plan.js'
export { suggestedTravel, timedDistanceMm, wantedTravel } from './session/travel-distance.js'
