import { type DialWriting, directionSign, writeDial } from '../units/index.js'
import type { MarkFit, RunEvidence, TableWarning } from './feed-table.js'
import { likelySlip } from './likely-slip.js'
import { FAR_OFF } from './scatter/far-off-runs.js'
import type { OddMark } from './scatter/odd-runs.js'

/** Code of the warning about runs that the others make unlikely. */
export const ODD_RUN = 'odd-run'

/**
 * What must be said of the odd runs of one direction, one warning a mark.
 *
 * @param odd marks of that direction
 * @param marks fitted marks of that direction
 * @param writing of the dial
 */
export function oddRunWarnings(
  odd: readonly OddMark[],
  runs: readonly RunEvidence[],
  marks: readonly MarkFit[],
  writing: DialWriting,
): TableWarning[] {
  return odd
    .filter((mark) => mark.named)
    .map((mark) => ({
      code: ODD_RUN,
      message:
        mark.suspects.length === 1
          ? oneIsOdd(mark, runs, marks, writing)
          : oneOfThemIsOdd(mark, mark.suspects.length, writing),
      runIds: mark.suspects.flat(),
      dials: [mark.dial],
    }))
}

function oneIsOdd(
  mark: OddMark,
  runs: readonly RunEvidence[],
  marks: readonly MarkFit[],
  writing: DialWriting,
): string {
  const [ids = []] = mark.suspects
  const readsLike = markItReadsLike(mark, runs, marks)
  const many = ids.length > 1
  const who = many ? `${ids.length} runs of one setting feed` : 'one run feeds'
  const cause =
    readsLike !== null
      ? `${many ? 'They look' : 'It looks'} like mark ${writeDial(readsLike, writing)}: check whether the dial was set to that mark.`
      : !many && Math.abs(mark.logOffset) > FAR_OFF
        ? likelySlip(runs.find((run) => run.runId === ids[0])!, Math.exp(mark.logOffset), [], () => '')
        : 'Check whether the dial was set wrong, the lever slipped or a figure was misread.'
  return `${placeOf(mark, writing)} ${who} ${comparedWords(mark.logOffset)} the other runs there, which is unlikely beside all other runs. ${cause} ${many ? 'They hardly count' : 'It hardly counts'} while ${many ? 'they stay' : 'it stays'} in: leave ${many ? 'them' : 'it'} out, or repeat ${many ? 'them' : 'it'}.`
}

function oneOfThemIsOdd(mark: OddMark, count: number, writing: DialWriting): string {
  const size = Math.expm1(Math.abs(mark.logOffset))
  const apart = size < 1 ? `${(100 * size).toFixed(0)} %` : `a factor of ${(1 + size).toFixed(1)}`
  return `${placeOf(mark, writing)} ${count} runs differ by ${apart}, which is unlikely beside all other runs, and there is no telling which of them is odd. The feed there is given with a wide interval: make one more run at this dial, or leave out the one you know is wrong.`
}

function placeOf({ dial, direction }: OddMark, writing: DialWriting): string {
  return `At dial ${writeDial(dial, writing)}, direction ${directionSign(direction)},`
}

/** How a feed compares with others, from the logarithm of their ratio: a sentence goes on with them. */
export function comparedWords(logRatio: number): string {
  const ratio = Math.exp(logRatio)
  if (ratio >= 2) return `${ratio.toFixed(1)} times as fast as`
  if (ratio <= 0.5) return `${(1 / ratio).toFixed(1)} times slower than`
  return `${(100 * Math.abs(ratio - 1)).toFixed(0)} % ${ratio > 1 ? 'faster' : 'slower'} than`
}

/** The one other mark whose next setting would give what the odd runs gave; null where none does, or several. */
function markItReadsLike(
  { dial, suspects }: OddMark,
  runs: readonly RunEvidence[],
  marks: readonly MarkFit[],
): number | null {
  const feeds = runs.filter((run) => suspects[0]!.includes(run.runId)).map((run) => run.feedMmPerMin)
  const couldBe = marks.filter(
    ({ dial: other, nextSetting95: next }) =>
      other !== dial && next !== null && feeds.every((feed) => feed >= next[0] && feed <= next[1]),
  )
  return couldBe.length === 1 ? couldBe[0]!.dial : null
}
