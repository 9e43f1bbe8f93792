import { rapidFeed } from '../../jobs/index.js'
import { MEASURED, MEASURED_SENTENCE } from '../../planning/lookup/free-of-cut.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { countOf } from '../../text/index.js'
import { directionSign } from '../../units/index.js'
import { feedJson, intervalJson } from '../json-shapes.js'
import { parseDirection } from '../options.js'
import { printJson, printResult } from '../terminal/terminal.js'
import { describeFeed } from './lookup-answers.js'

/** The answer to `feed rapid`: it comes from the runs themselves, for no table holds the rapid traverse. */
export function showRapidFeed(
  store: Store,
  { machine, axis }: MachineAxis,
  options: { readonly direction?: string; readonly json?: boolean },
): void {
  const wanted = options.direction === undefined ? null : parseDirection(options.direction)
  const { direction, feed } = rapidFeed(store, axis, wanted)
  const { unit } = axis
  if (options.json) {
    printJson({
      dial: 'rapid',
      direction: directionSign(direction),
      feed: feedJson(feed, unit),
      nextSetting95: intervalJson(feed.nextSetting95, unit),
      runs: feed.runs,
      measured: MEASURED,
      table: null,
    })
    return
  }
  printResult(
    [
      ...describeFeed('The rapid traverse gives', { feed, nextSetting95: feed.nextSetting95 }, unit),
      `  ${machine.name} · ${axis.name} · direction ${directionSign(direction)} · from ${countOf(feed.runs, 'run')}, outside the table`,
      `  ${MEASURED_SENTENCE}`,
    ].join('\n'),
  )
}
