import type { FeedTable } from '../regression/index.js'

/** Tables as a JSON document with schema id, units, uncertainty, method, hash, date and measured range. */
export declare function tablesToJson(tables: readonly FeedTable[]): string
