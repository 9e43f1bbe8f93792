export type { IngestedSamples, LineRejectionCode, RejectedLine, SampleSeries } from './sample-series.js'
export type { StampedLine } from './stamped-line.js'
