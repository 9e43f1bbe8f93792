export {
  COASTS_FOR_BOUND,
  type CoastBound,
  coastBounds,
  type RecordedCoast,
  settingRank,
} from './coast-bounds.js'
export { nextUpperBound } from './next-upper-bound.js'
export { type StopAllowance, stopAllowance } from './stop-allowance.js'
