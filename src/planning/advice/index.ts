export { type Advice, type AdviceQuestion, advise } from './advise.js'
export { expectedHalfWidth, halfWidthAt } from './expected-width.js'
export { type NextRun, nextMostUseful } from './next-run.js'
export { type Instrument, runUncertainty } from './run-uncertainty.js'
