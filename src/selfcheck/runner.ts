import type { CaseItem } from './case-file.js'
import type { Comparison } from './comparison.js'

/** Runs one item of a topic; works from the item's fields alone, never from a known id. */
export type Runner = (path: string, item: CaseItem) => Comparison

/** An item that the program has nothing to say about. */
export const NOTHING_COMPUTED: Comparison = { checks: [], notComputed: [] }
