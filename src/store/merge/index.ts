export type { MergeReport } from './merge-report.js'
export { mergeStore } from './merge-store.js'
