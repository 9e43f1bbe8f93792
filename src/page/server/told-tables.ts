import { onDays, tableInForce, toldForAnyDay } from '../../jobs/index.js'
import type { Axis, Store, StoredTable } from '../../store/index.js'
import { shiftSentence } from '../../words/index.js'
import type { LookupTables } from '../api.js'
import { nowIso } from './desk.js'

/** The tables in force as they are shown and handed on: with their next settings on any day. */
export function toldTables(store: Store, axis: Axis): StoredTable[] {
  return storedTables(store, axis).map((table) => toldForAnyDay(store, axis, table))
}

/** The tables in force as lookups ask them. */
export function lookupTables(store: Store, axis: Axis): LookupTables[] {
  return storedTables(store, axis).map((table) => {
    const { anyDay, today } = onDays(store, axis, table, { nowIso: nowIso() })
    return { anyDay, today: today && { ...today, sentence: today.runs > 0 ? shiftSentence(today) : null } }
  })
}

/** As stored, for the days they were measured on. */
function storedTables(store: Store, axis: Axis): StoredTable[] {
  return ([1, -1] as const).flatMap((direction) => tableInForce(store, axis.id, direction) ?? [])
}
