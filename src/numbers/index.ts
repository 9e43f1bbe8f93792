export {
  factorInPlace,
  type LowRankFactor,
  lineCovariance,
  lineFrom,
  matern52,
  maternFactor,
  maternMatrix,
  normalLogDensity,
  solveLowerInPlace,
  solveUpperInPlace,
} from './gaussian-process.js'
export { type LeastSquaresFit, leastSquares } from './least-squares.js'
export { fitLine, type LineFit, residualOf, slopeVariance } from './line-fit.js'
export { isotonic, largestFall, riseInPlace } from './monotone.js'
export { longRunSum, type NeweyWestOptions, neweyWest, neweyWestLag, standardErrors } from './newey-west.js'
export {
  type MixturePart,
  mixtureHalfWidth,
  mixtureStandardDeviation,
  mixtureUpperTail,
} from './normal-mixture.js'
export { evaluateCubic, type PiecewiseCubic, pchip } from './pchip.js'
export { seededNormal, seededUniform, seedFrom } from './seeded-normal.js'
export { positionOnLine, type StraightLine, straightLine } from './straight-line.js'
export {
  chiSquareCdf,
  chiSquareQuantile,
  fQuantile,
  normalCdf,
  normalQuantile,
  studentTCdf,
  studentTQuantile,
} from './student-t.js'
