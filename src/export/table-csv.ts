import type { FeedTable } from '../regression/index.js'

/**
 * Tables as one CSV with a header line: rows `mark`, `dial-to-feed` (fine grid of dials) and `feed-to-dial` (fine grid
 * of feeds). Units stand in the column names; text is neutralised for spreadsheets, numbers are written as they are.
 */
export declare function tablesToCsv(tables: readonly FeedTable[]): string
