export type { MergeConflict, MergeReport } from './merge-report.js'
export { mergeStore } from './merge-store.js'
