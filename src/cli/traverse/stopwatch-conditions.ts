import { type TakeConditions, timingOf } from '../../jobs/index.js'
import type { Store } from '../../store/index.js'
import { say } from '../terminal.js'
import { type ConditionOptions, conditionsFrom } from './options.js'

/** The conditions of stopwatch entries: with how sure the presses of whoever times are, which is said. */
export function stopwatchConditions(
  store: Store,
  options: ConditionOptions,
  conditions: TakeConditions = conditionsFrom(options),
): TakeConditions {
  const { timing, sentence } = timingOf(store, options.person)
  say(sentence)
  return { ...conditions, ...(timing === null ? {} : { timing }) }
}
