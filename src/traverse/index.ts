export type {
  Coast,
  Direction,
  Phases,
  Rejection,
  Traverse,
  TraverseRejectionCode,
  Warning,
} from './traverse.js'
