import {
  type FitOptions,
  type MarkGroup,
  noiseOptions,
  ofMeanSession,
  type RunEvidence,
  type ScatterPosterior,
  scatterWithTravels,
} from '../../regression/index.js'

/**
 * Learns how far runs scatter around the means of their marks, and how much of it travels through several settings share;
 * what the runs of a session have in common is taken out before.
 *
 * @param lists of runs between which nothing changed on the machine
 * @returns null where no mark was repeated
 */
export function runScatter(
  lists: readonly (readonly RunEvidence[])[],
  grouped: (runs: readonly RunEvidence[]) => readonly MarkGroup[],
  { stepped, dialClicks }: FitOptions,
): ScatterPosterior | null {
  const options = { stepped, ...(dialClicks ? { dialClicks } : {}) }
  const sources = lists.map((list) => {
    const runs = ofMeanSession(list, options)
    return { runs, groups: grouped(runs) }
  })
  return scatterWithTravels(sources, noiseOptions(options))
}
