export { agrees, contradicts } from './check-feed.js'
export {
  type CheckedRun,
  checkRun,
  longByHand,
  type Reference,
  type RunCheck,
  uncheckedUnit,
} from './check-run.js'
export {
  type AxisLimits,
  beyondEnteredTravel,
  isBeyondTravel,
  stopwatchBeyondTravel,
  travelMeantIn,
} from './check-travel.js'
export { type Contradiction, wayOut } from './contradiction.js'
export { rippleFactor } from './ripple-unit.js'
export type { Reading } from './scale-factors.js'
export { stepTells } from './step-unit.js'
