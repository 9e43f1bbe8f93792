import type { FeedTable } from '../../regression/index.js'
import {
  directionSign,
  feedUnit,
  formatDial,
  formatFeed,
  formatInterval,
  formatPercentHalfWidth,
} from '../../units/index.js'
import { textTable } from './text-table.js'

/** A table version as one reads it at the machine: one mark a line, feed first, intervals after it. */
export function renderFeedTable(table: FeedTable): string {
  const unit = feedUnit(table.unit)
  const rows = table.marks.map((mark) => [
    formatDial(mark.dial, table),
    formatFeed(mark.feedMmPerMin, mark.interval95, table.unit),
    formatPercentHalfWidth(mark.feedMmPerMin, mark.interval95),
    formatInterval(mark.nextSetting95, table.unit),
    String(mark.runs),
  ])
  const body = textTable(
    [
      { title: 'dial', align: 'right' },
      { title: unit, align: 'right' },
      { title: 'mean, 95 %', align: 'right' },
      { title: `next setting, 95 % (${unit})`, align: 'left' },
      { title: 'runs', align: 'right' },
    ],
    rows,
  )
  return `${tableTitle(table)}\n${body}`
}

/** Which table this is: machine, axis, direction, version, day and the first digits of its hash. */
export function tableTitle(table: FeedTable): string {
  const day = table.fittedAt.slice(0, 10)
  return `${table.machine} · ${table.axis} · direction ${directionSign(table.direction)} · table ${table.version} of ${day} · ${table.hash.slice(0, 8)}`
}
