import {
  cardNotes,
  cardRows,
  dialCard,
  feedWords,
  standingNotes,
  withinWords,
} from '../../../pictures/index.js'
import { apartFromMove } from '../../../planning/lookup/standing-warnings.js'
import type { Axis, Store } from '../../../store/index.js'
import { formatDial } from '../../../units/index.js'
import type { CardAnswer } from '../../api.js'
import { unitShown } from '../unit-shown.js'
import { inlineSvg } from './inline-svg.js'
import { toldTables } from './told-tables.js'

/** The dial card in the unit asked for, else in the machine's. @throws DataError `no-table` */
export function cardAnswer(store: Store, axis: Axis, asked: string | null): CardAnswer {
  const unit = unitShown(asked, axis)
  const tables = toldTables(store, axis).map((table) => ({ ...table, unit }))
  // What a recheck found moved stands above the card already.
  const besides = tables.map((table) => ({ ...table, warnings: apartFromMove(table.warnings).others }))
  const dialRange = [axis.dialMin, axis.dialMax] as const
  return {
    svg: inlineSvg(dialCard({ tables, dialRange })),
    rows: cardRows(tables, dialRange).map(({ feed, settings }) => ({
      feed: feedWords(feed),
      settings: settings.map(({ direction, dial, withinPercent }) => ({
        direction,
        dial: formatDial(dial, axis),
        within: withinWords(withinPercent),
      })),
    })),
    notes: [...standingNotes(besides), ...cardNotes()],
  }
}
