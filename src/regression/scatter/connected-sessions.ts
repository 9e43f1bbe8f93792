import type { ScatteringMark } from './restricted-likelihood.js'

/**
 * Sessions in lots that can be compared: those that share a repeated mark hang together, and through others.
 *
 * @param placeOf the session of a run, as its place in `sessions`
 */
export function connectedSessions(
  sessions: readonly string[],
  marks: readonly ScatteringMark[],
  placeOf: (runId: string) => number,
): string[][] {
  const lot = sessions.map((_, i) => i)
  for (const { runIds } of marks) {
    const there = new Set(runIds.map((runId) => lot[placeOf(runId)]!))
    const [first] = there
    for (const [i, own] of lot.entries()) if (there.has(own)) lot[i] = first!
  }
  return [...new Set(lot)].map((one) => sessions.filter((_, i) => lot[i] === one))
}
