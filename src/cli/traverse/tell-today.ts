import { onDays, tableInForce } from '../../jobs/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { directionSign } from '../../units/index.js'
import { shiftSentence } from '../../words/index.js'
import { nowIso } from '../context.js'
import { say } from '../terminal/terminal.js'
import type { TraverseOptions } from './options.js'

/** Says what check runs show of their day, a line for each table. */
export function tellToday(store: Store, { axis }: MachineAxis, { session }: TraverseOptions): void {
  for (const direction of [1, -1] as const) {
    const table = tableInForce(store, axis.id, direction)
    const today = table && onDays(store, axis, table, { session, nowIso: nowIso() }).today
    if (today && today.runs > 0) say(`Direction ${directionSign(direction)}: ${shiftSentence(today)}.`)
  }
}
