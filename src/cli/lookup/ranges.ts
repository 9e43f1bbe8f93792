import { DataError } from '../../errors/index.js'
import { bestKnownFirst } from '../../planning/lookup/best-known.js'
import type { FeedEstimate } from '../../regression/index.js'
import type { MachineAxis } from '../../store/index.js'

/** What one range of a dial answers to `dial FEED`. */
export interface RangeAnswer {
  readonly json: Record<string, unknown>
  readonly text: string
  /** The mean feed over all days. */
  readonly feed: FeedEstimate
}

/** The same, with the name of the range. */
interface InRange extends RangeAnswer {
  readonly range: string
}

/**
 * The answers of those ranges in which the feed lies; the one that is known best comes first.
 *
 * @throws DataError where none answers, with what each says
 */
export async function inRanges(
  ranges: readonly MachineAxis[],
  answerOf: (target: MachineAxis) => Promise<RangeAnswer>,
): Promise<{ readonly best: InRange; readonly others: readonly InRange[] }> {
  const found: InRange[] = []
  const refusals: DataError[] = []
  for (const target of ranges) {
    try {
      found.push({ ...(await answerOf(target)), range: target.axis.range?.name ?? target.axis.name })
    } catch (error) {
      if (!(error instanceof DataError)) throw error
      refusals.push(error)
    }
  }
  const [best, ...others] = bestKnownFirst(found, ({ feed }) => feed)
  if (best === undefined) throw refusedByAll(refusals)
  return { best, others }
}

function refusedByAll(refusals: readonly DataError[]): DataError {
  const [{ code, hint }] = refusals as [DataError, ...DataError[]]
  return new DataError(code, refusals.map(({ message }) => message).join(' '), hint)
}

/** An answer of another range as JSON. */
export function inRangeJson({ range, json }: InRange): Record<string, unknown> {
  return { range, ...json }
}
