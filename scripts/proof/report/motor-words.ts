import type { Point } from '../measured-motors.js'
import { motorLikeness } from '../motor-sessions.js'

/** What the measured motors can tell, and what two sessions cannot. */
export function motorWords(points: readonly Point[]): string[] {
  return [
    'Two real geared motors (`fixtures/open-data`), commands as dial marks, all other commands as test. The program is told which session each run is of, and answers for the day that the points are of: one that it has runs of, or, from session A alone, any other day. From one session no mark is repeated, and the scatter is assumed; the right motor’s other session lies 6 to 11 % off, farther than the prior of the day effect expects of most drives, and is one day, not a rate.',
    '',
    `The right motor’s own points lie inside the band too often, and the band cannot be made narrower for it. From one session to the other the shape of its curve changes: at neighbouring commands the sessions differ alike (correlation of the differences: ${motorLikeness(points)}; scatter from run to run would have none). The band is for one more run; by the scatter s that two sessions show it allows 1.96·√(1 + 1/2)·s, but the points of a session that the marks are made from lie half a difference away, √(1/2)·s, so a band that is right for a new session holds 99.9 % of them. A new session is what the rows from A alone show. There a check run tells the common factor of the day and not the shape; two each way, at the middle and at the slowest mark, tell the feed that the day lost as well: see the points of B after them.`,
  ]
}
