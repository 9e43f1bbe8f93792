import { UsageError } from '../../errors/index.js'
import { saidTiming, type TakeConditions, type TimingOf, timingOf } from '../../jobs/index.js'
import type { Store } from '../../store/index.js'
import { parseDurationS } from '../../units/index.js'
import { say } from '../terminal/terminal.js'
import { type ConditionOptions, conditionsFrom } from './options.js'

/** The conditions of stopwatch entries: with how sure the presses of whoever times are, which is said. */
export function stopwatchConditions(
  store: Store,
  options: ConditionOptions,
  conditions: TakeConditions = conditionsFrom(options),
): TakeConditions {
  const { timing, sentence } = timingFor(store, options)
  say(sentence)
  return { ...conditions, ...(timing === null ? {} : { timing }) }
}

/** How sure the times are: as said, else by the person's own exercise, else the published spread. */
function timingFor(store: Store, { timingError, person }: ConditionOptions): TimingOf {
  if (timingError === undefined) return timingOf(store, person)
  const spreadS = parseDurationS(timingError, '--timing-error')
  if (spreadS > 0) return saidTiming(spreadS)
  throw new UsageError('bad-duration', '--timing-error: a time always has an error.', 'Give it like 0.02s.')
}
