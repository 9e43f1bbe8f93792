import { seededNormal } from '../../numbers/index.js'

/** What one more run deviates by: the dial set anew, the run itself, and the level that all of a table shares. */
export interface AgainDeviates {
  readonly dial: number
  readonly run: number
  readonly level: number
}

/**
 * The same deviates for every table, a row a curve: what is drawn then follows from the marks alone, and the same marks
 * under other dial numbers, in other units, or from runs in another order draw the same curves.
 */
const SEED = 20

/** Deviates of a row for the line: height and steepness (by definition). */
const LINE_DEVIATES = 2
/** The same for the sizes of kinks or of the parts of a stretch, two at most (by definition). */
const FEATURE_DEVIATES = 2
/** The same for one more run: dial, run and level (by definition). */
const AGAIN_DEVIATES = 3
/** The same for where in its gap a stretch lies (by definition). */
const ALONG_DEVIATES = 1

/** The standard normal deviates that one curve is drawn from, by what they are for. */
export interface DeviateRow {
  readonly line: Float64Array
  readonly features: Float64Array
  readonly errors: Float64Array
  readonly bulges: Float64Array
  /** As many as the grid has places; a smooth stray takes fewer. */
  readonly stray: Float64Array
  /** For where in its gap a stretch lies. */
  readonly along: number
  readonly again: AgainDeviates
}

/** Deviates for so many draws; row `k` does not depend on what was drawn before it. */
export function deviateRows(draws: number, marks: number, places: number): (k: number) => DeviateRow {
  const width = LINE_DEVIATES + FEATURE_DEVIATES + AGAIN_DEVIATES + ALONG_DEVIATES + 2 * marks + places
  const all = firstDeviates(draws * width)
  return (k) => {
    const row = all.subarray(k * width, (k + 1) * width)
    const featuresFrom = LINE_DEVIATES
    const errorsFrom = featuresFrom + FEATURE_DEVIATES
    const bulgesFrom = errorsFrom + marks
    const strayFrom = bulgesFrom + marks
    const againFrom = strayFrom + places
    return {
      line: row.subarray(0, featuresFrom),
      features: row.subarray(featuresFrom, errorsFrom),
      errors: row.subarray(errorsFrom, bulgesFrom),
      bulges: row.subarray(bulgesFrom, strayFrom),
      stray: row.subarray(strayFrom, againFrom),
      along: row[againFrom + AGAIN_DEVIATES]!,
      again: { dial: row[againFrom]!, run: row[againFrom + 1]!, level: row[againFrom + 2]! },
    }
  }
}

let drawnDeviates: Float64Array = new Float64Array(0)

/** The first so many deviates of the seed, or more: drawing them takes an eighth of a fit, so the longest row is kept. */
function firstDeviates(count: number): Float64Array {
  if (drawnDeviates.length < count) {
    const normal = seededNormal(SEED)
    drawnDeviates = new Float64Array(count)
    for (let i = 0; i < count; i++) drawnDeviates[i] = normal()
  }
  return drawnDeviates
}
