import { median } from 'simple-statistics'
import { type DialWriting, directionSign, writeDial } from '../../units/index.js'
import type { RunEvidence, TableWarning } from '../feed-table.js'
import { FAR_OFF } from './far-off-runs.js'

/**
 * What must be said of three dials, all that were measured in a direction, of which the middle one feeds far faster or far
 * slower than both others: a dial rises all along or falls all along, so one of the three is a slip. From four dials on
 * `farOffRuns` tells which.
 *
 * Measured on drawn dials of all families: none of 25,900 sound threes is told, and of those with one feed wrong by 5.9 or
 * more times about half; where the slip leaves them in order, two other marks cannot show it.
 *
 * @param runs of both directions
 */
export function dialsOutOfOrder(runs: readonly RunEvidence[], writing: DialWriting): TableWarning[] {
  return ([1, -1] as const).flatMap((direction) => {
    const own = runs.filter((run) => run.direction === direction && run.feedMmPerMin > 0)
    const dials = [...new Set(own.map(({ dial }) => dial))].sort((a, b) => a - b)
    const [first, middle, last] = dials
    if (dials.length !== 3 || first === undefined || middle === undefined || last === undefined) return []
    const logFeed = (at: number) =>
      median(own.flatMap((run) => (run.dial === at ? [Math.log(run.feedMmPerMin)] : [])))
    const above = [first, last].map((end) => logFeed(middle) - logFeed(end))
    const least = Math.min(...above.map(Math.abs))
    const isBent = Math.sign(above[0]!) === Math.sign(above[1]!) && least > FAR_OFF
    if (!isBent) return []
    const [from, at, to] = [first, middle, last].map((dial) => writeDial(dial, writing))
    const compared = `${Math.exp(least).toFixed(1)} times as ${above[0]! > 0 ? 'fast' : 'slow'}`
    return [
      {
        code: 'dials-out-of-order',
        message: `In direction ${directionSign(direction)} dial ${at} feeds ${compared} as both dial ${from} and dial ${to}, and a dial rises all along or falls all along. One of the three is probably a slip, and there is no telling which yet: look at their distances and times. A fourth dial mostly shows which.`,
        runIds: own.map(({ runId }) => runId),
        dials,
      },
    ]
  })
}
