export { factorInPlace, normalLogDensity, solveLowerInPlace, solveUpperInPlace } from './cholesky.js'
export { coefficientVariance } from './coefficient-variance.js'
export { dot } from './dot.js'
export { lineCovariance, lineFrom } from './gaussian-process/line-prior.js'
export { matern52, maternMatrix } from './gaussian-process/matern-covariance.js'
export { type LowRankFactor, maternFactor } from './gaussian-process/matern-factor.js'
export { inverseVarianceWeights } from './inverse-variance.js'
export { type LeastSquaresFit, leastSquares, leastSquaresUnlessDependent } from './least-squares.js'
export { logSum } from './log-sum.js'
export { longRunVariance } from './long-run-variance.js'
export { addProduct } from './matrix-vector.js'
export { medianHigh } from './median-high.js'
export { isotonic, largestFall, riseInPlace } from './monotone.js'
export { longRunSum } from './newey-west.js'
export {
  type MixturePart,
  mixtureHalfWidth,
  mixtureStandardDeviation,
  mixtureUpperTail,
} from './normal-mixture.js'
export { evaluateCubic, pchip } from './pchip.js'
export { seededNormal, seededUniform, seedFrom } from './seeded-normal.js'
export { lineAt, type StraightLine, straightLine } from './straight-line.js'
export {
  chiSquareQuantile,
  fQuantile,
  normalCdf,
  normalQuantile,
  studentTCdf,
  studentTQuantile,
} from './student-t.js'
export { weightedIndex } from './weighted-index.js'
