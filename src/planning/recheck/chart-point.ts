import { mixtureStandardDeviation } from '../../numbers/index.js'
import type { RecheckedMarks } from './evidence.js'
import { scaleEstimate } from './mark-differences.js'

/** A relative feed with what is uncertain of it: of the new runs, and of the table, which later rechecks share. */
export interface ChartPoint {
  /** Logarithm of new feed over table, over all marks. */
  readonly value: number
  readonly ownUncertainty: number
  readonly tableUncertainty: number
}

/** What a control chart needs of a recheck: its factor for all marks, and the two parts of its uncertainty. */
export function chartPoint(compared: RecheckedMarks): ChartPoint {
  const { value, error } = scaleEstimate(compared)
  const variance = mixtureStandardDeviation(error) ** 2
  const tableAlone = scaleEstimate({
    ...compared,
    marks: compared.marks.map((mark) => ({ ...mark, errors: mark.thenErrors })),
  })
  // The weights for the table's errors alone differ a little, so that its variance could come out above the whole.
  const tableVariance = Math.min(variance, mixtureStandardDeviation(tableAlone.error) ** 2)
  return {
    value,
    ownUncertainty: Math.sqrt(variance - tableVariance),
    tableUncertainty: Math.sqrt(tableVariance),
  }
}
