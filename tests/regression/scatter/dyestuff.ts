import type { ScatteringMark } from '../../../src/regression/scatter/restricted-likelihood.js'

/**
 * Yield of dyestuff of six batches, five preparations each: O. L. Davies, P. L. Goldsmith (eds), Statistical Methods in
 * Research and Production, 4th ed., Oliver and Boyd 1972, section 6.4; read in the data set Dyestuff of the R package lme4.
 */
const BATCHES = [
  [1545, 1440, 1440, 1520, 1580],
  [1540, 1555, 1490, 1560, 1495],
  [1595, 1550, 1605, 1510, 1560],
  [1445, 1440, 1595, 1465, 1545],
  [1595, 1630, 1515, 1635, 1625],
  [1520, 1455, 1450, 1480, 1445],
]

/** As runs of one mark, a preparation for a run and a batch for a setting of the dial. */
export const DYESTUFF: ScatteringMark = {
  runIds: BATCHES.flat().map((_, k) => `${k}`),
  logFeeds: BATCHES.flat(),
  ownVariances: BATCHES.flat().map(() => 0),
  settings: BATCHES.map((batch, j) => batch.map((_, k) => 5 * j + k)),
  slopeSquared: 1,
}

/** The batch of each preparation. */
export const BATCH_OF = BATCHES.flatMap((batch, j) => batch.map(() => j))

/**
 * Standard deviation within batches and from batch to batch. Batches are alike in size, so that the restricted likelihood
 * gives those of the analysis of variance, whose mean squares are 2451.25 and 11271.5.
 */
export const WITHIN = Math.sqrt(2451.25)
export const BETWEEN = Math.sqrt((11271.5 - 2451.25) / 5)
