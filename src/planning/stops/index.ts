export {
  COASTS_FOR_BOUND,
  type CoastBound,
  coastBounds,
  type RecordedCoast,
} from './coast-bounds.js'
export { nextUpperBound } from './next-upper-bound.js'
