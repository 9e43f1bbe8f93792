import { tableInForce } from '../../jobs/index.js'
import { cardNotes, cardRows, dialCard, feedWords, standingNotes, withinWords } from '../../pictures/index.js'
import type { Axis, Store, StoredTable } from '../../store/index.js'
import { formatDial } from '../../units/index.js'
import type { CardAnswer } from '../api.js'
import { inlineSvg } from './inline-svg.js'

/** The dial card in the unit asked for, else in the machine's. @throws DataError `no-table` */
export function cardAnswer(store: Store, axis: Axis, asked: string | null): CardAnswer {
  const unit = asked === 'in' || asked === 'mm' ? asked : store.machines.byId(axis.machineId).unit
  const tables = tablesOfDirections(store, axis).map((table) => ({ ...table, unit }))
  const dialRange = [axis.dialMin, axis.dialMax] as const
  return {
    svg: inlineSvg(dialCard({ tables, dialRange })),
    rows: cardRows(tables, dialRange).map(({ feed, settings }) => ({
      feed: feedWords(feed),
      settings: settings.map(({ direction, dial, withinPercent }) => ({
        direction,
        dial: formatDial(dial),
        within: withinWords(withinPercent),
      })),
    })),
    notes: [...standingNotes(tables), ...cardNotes()],
  }
}

/** The tables in force, one a direction that has one. */
export function tablesOfDirections(store: Store, axis: Axis): StoredTable[] {
  return ([1, -1] as const).flatMap((direction) => tableInForce(store, axis.id, direction) ?? [])
}
