import type { RecheckReport } from '../../jobs/index.js'
import {
  directionSign,
  feedUnit,
  formatDial,
  formatFeed,
  type LengthUnit,
  NUMBERED,
} from '../../units/index.js'
import { recheckSentences, signedInterval, verdictSentence } from '../../words/index.js'
import { textTable } from '../render/text-table.js'
import { onCommandLine } from '../wording.js'

/** A recheck as one reads it at the machine: the verdict, the marks, what explains it, what to do next. */
export function renderRecheck(report: RecheckReport, unit: LengthUnit): string {
  const { tables } = report
  const versions = tables
    .map((table) => `${directionSign(table.direction)} table ${table.version}`)
    .join(', ')
  return [
    `${verdictSentence(report)} · ${versions} · ${report.runIds.length} runs${report.look > 1 ? ` in ${report.look} looks` : ''} · ${report.reason}`,
    markTable(report, unit),
    '',
    ...recheckSentences(report).map(onCommandLine),
  ].join('\n')
}

function markTable({ outcome, tables }: RecheckReport, unit: LengthUnit): string {
  return textTable(
    [
      { title: 'dial', align: 'right' },
      { title: 'dir', align: 'left' },
      { title: `table, ${feedUnit(unit)}`, align: 'right' },
      { title: 'now', align: 'right' },
      { title: 'difference, 95 %', align: 'left' },
      { title: 'runs', align: 'right' },
      { title: 'verdict', align: 'left' },
    ],
    outcome.rechecked.map((mark, i) => {
      const { percent, verdict } = outcome.marks[i]!
      return [
        formatDial(mark.dial, tables[0] ?? NUMBERED),
        directionSign(mark.direction),
        formatFeed(mark.tableFeed.feedMmPerMin, mark.tableFeed.interval95, unit),
        formatFeed(mark.newFeed.feedMmPerMin, mark.newFeed.interval95, unit),
        signedInterval(percent),
        String(mark.runs),
        verdict,
      ]
    }),
  )
}
