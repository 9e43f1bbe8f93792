import { type DialWriting, directionSign, writeDial } from '../units/index.js'
import type { TableWarning } from './feed-table.js'
import { likelySlip } from './likely-slip.js'
import { comparedWords, ODD_RUN } from './odd-run-warnings.js'
import type { FarOffRun } from './scatter/far-off-runs.js'

/**
 * What must be said of the runs of one direction that lie far off all others, one warning a mark. All are of one direction.
 *
 * @param marks fitted marks of that direction
 */
export function farOffWarnings(
  far: readonly FarOffRun[],
  marks: readonly { readonly dial: number; readonly feedMmPerMin: number }[],
  writing: DialWriting,
): TableWarning[] {
  return far.map((one) => {
    const { runs } = one
    const [first] = runs
    const place = `At dial ${writeDial(first.dial, writing)},`
    const direction = ` direction ${directionSign(first.direction)},`
    const sameWay = runs.every((run) => run.direction === first.direction)
    return {
      code: ODD_RUN,
      message: `${place}${sameWay ? direction : ''} ${runs.length > 1 ? severalSentence(one) : oneSentence(one, marks, writing)}`,
      runIds: runs.map((run) => run.runId),
      dials: [first.dial],
    }
  })
}

function oneSentence(
  { runs: [run], factor, beside }: FarOffRun,
  marks: readonly { readonly dial: number; readonly feedMmPerMin: number }[],
  writing: DialWriting,
): string {
  const others = beside === 'runs' ? 'the other runs at this dial' : 'the other marks lead you to expect'
  const slip = likelySlip(run, factor, marks, (dial) => writeDial(dial, writing))
  return `one run feeds ${comparedWords(Math.log(factor))} ${others}. ${slip} Leave it out and make it again, or enter it as it was; until then the feed there is not to be trusted.`
}

function severalSentence({ runs, factor }: FarOffRun): string {
  const times = (factor > 1 ? factor : 1 / factor).toFixed(1)
  const which = runs.every((run) => run.direction === runs[0].direction)
    ? `${runs.length} runs`
    : 'the runs of the two directions'
  return `${which} differ by a factor of ${times}, and there is no telling which of them is wrong. Make one more run at this dial, and leave out the wrong one; until then the feed there is not to be trusted.`
}
