import { onDays, type TableOnDays, tableInForce, toldForAnyDay } from '../../../jobs/index.js'
import { nextOnAnyDay } from '../../../planning/days/index.js'
import type { Axis, Store, StoredTable } from '../../../store/index.js'
import { shiftSentence } from '../../../words/index.js'
import type { LookupTables, RangeLookups } from '../../api.js'
import { nowIso } from '../desk.js'

/** The tables in force as they are shown and handed on: with their next settings on any day. */
export function toldTables(store: Store, axis: Axis): StoredTable[] {
  return storedTables(store, axis).map((table) => toldForAnyDay(store, axis, table))
}

/** The tables in force, told as by `toldTables`, and as lookups ask them: the runs that tell of days are read once. */
export function tablesOnDays(
  store: Store,
  axis: Axis,
): { readonly told: StoredTable[]; readonly lookups: LookupTables[] } {
  const onTheirDays = storedTables(store, axis).map((table) =>
    onDays(store, axis, table, { nowIso: nowIso() }),
  )
  return {
    told: onTheirDays.map(({ asMeasured, knowledge }) => nextOnAnyDay(asMeasured, knowledge)),
    lookups: onTheirDays.map(asLookup),
  }
}

/** What looks a feed up in the other ranges of the dial that this axis is one range of. */
export function otherRanges(store: Store, { id, machineId, range }: Axis): RangeLookups[] {
  return range === undefined
    ? []
    : store.axes
        .list(machineId)
        .filter((other) => other.id !== id && other.range?.of === range.of)
        .map((other) => ({ axisId: other.id, lookups: tablesOnDays(store, other).lookups }))
}

function asLookup({ anyDay, today, knowledge }: TableOnDays): LookupTables {
  return {
    anyDay,
    today: today && { ...today, sentence: today.runs > 0 ? shiftSentence(today) : null },
    dayToSee: today === null ? knowledge.dayToSee : null,
  }
}

/** As stored, for the days they were measured on. */
function storedTables(store: Store, axis: Axis): StoredTable[] {
  return ([1, -1] as const).flatMap((direction) => tableInForce(store, axis.id, direction) ?? [])
}
