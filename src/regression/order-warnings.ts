import { type DialWriting, writeDial } from '../units/index.js'
import type { MarkFit, TableWarning } from './feed-table.js'
import { marksOutOfOrder, type TrendFound } from './scatter/dial-trend.js'

/** A mark with its runs; without ids where a table does not tell which runs are whose. */
type WarnedMark = Pick<MarkFit, 'dial' | 'feedMmPerMin' | 'interval95'> & {
  readonly runIds?: readonly string[]
}

/** What the order of the marks depends on besides. */
interface DialKnown extends DialWriting {
  readonly stepped: boolean
}

/** What must be said where feeds do not go one way along the dial. On a stepped dial that has no order nothing must be. */
export function orderWarnings(
  marks: readonly WarnedMark[],
  trend: TrendFound,
  dial: DialKnown,
): TableWarning[] {
  if (marks.length < 2 || (dial.stepped && trend === 'unclear')) return []
  const out = marksOutOfOrder(marks, trend).map((i) => marks[i]!)
  const broken = out.length === 0 ? [] : [orderBroken(out, trend, dial)]
  const unclear = trend === 'unclear' && marks.some((mark) => mark.feedMmPerMin > 0)
  return unclear ? [ORDER_UNCLEAR, ...broken] : broken
}

const ORDER_UNCLEAR: TableWarning = {
  code: 'order-unclear',
  message:
    'The marks do not show whether the feed rises or falls with the numbers on the dial, so the band between them covers both.',
}

function orderBroken(marks: readonly WarnedMark[], trend: TrendFound, writing: DialWriting): TableWarning {
  const dials = marks.map((mark) => writeDial(mark.dial, writing)).join(', ')
  const [feeds, their] =
    marks.length === 1
      ? [`The feed at dial ${dials} is`, 'its runs']
      : [`The feeds at dials ${dials} are`, 'their runs']
  const order =
    trend === 'unclear'
      ? 'and a dial rises all along or falls all along'
      : `while the feed ${trend === 1 ? 'rises' : 'falls'} with the ${writing.lettered ? 'letters' : 'numbers'} of the dial everywhere else`
  const runIds = marks.flatMap((mark) => mark.runIds ?? [])
  return {
    code: 'order-broken',
    message: `${feeds} out of order, ${order}. At these dials the answer is what their own runs gave; between them the band is wide. Either the dial does this, or a number was written down wrong: check the numbers of ${their}, leave out or correct the wrong ones, and make a new table.`,
    ...(runIds.length === 0 ? {} : { runIds }),
  }
}
