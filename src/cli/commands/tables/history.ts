import type { Command } from 'commander'
import type { recordIn } from '../../../jobs/index.js'
import type { Axis, HistoryEntry, Store } from '../../../store/index.js'
import { directionSign } from '../../../units/index.js'
import { type AxisOptions, nowIso, onlyMachine, type WritingOptions, withStore } from '../../context.js'
import { withAxisOptions, withForceOption } from '../../options.js'
import { plotSize } from '../../render/plot-size.js'
import { printJson, printResult } from '../../terminal/terminal.js'

/** An entry with the axis it was found under; changes of the machine itself have none. */
interface AxisEntry {
  readonly axis: Axis | null
  readonly entry: HistoryEntry
}

interface HistoryOptions extends AxisOptions, WritingOptions {
  readonly chart?: string
}

/** Lines of the chart in the terminal. Judgement: it fits a small window (24 lines) with the list above it. */
const CHART_LINES = 14

const HELP = `
With two rechecks or more a control chart follows: the feed against the table, all marks together, and the weighted
average of the rechecks (EWMA, weight 0.3) with its limits at three standard deviations. An average beyond them is a
drift, even where no single recheck found the table moved. A new table starts again at zero.

Below it stand the sessions since the newest table and by how much each fed off it. Days differ; an average beyond what days
may bring asks for a recheck. The chart shows them as a row of its own.

Examples
  tablepace history
  tablepace history --axis X --chart drift.svg
`

/** `history` lists what was done to a machine. */
export function registerHistory(program: Command): void {
  withForceOption(
    withAxisOptions(
      program
        .command('history')
        .description('what was done to a machine: tables, rechecks, changes and runs left out'),
    ).option(
      '--chart <file>',
      'the control chart of the rechecks of an axis as an SVG file; - for standard output',
    ),
  )
    .addHelpText('after', HELP)
    .action((_: unknown, command: Command) => history(command.optsWithGlobals()))
}

function history(options: HistoryOptions): Promise<void> {
  return withStore(options, 'read', async (store) => {
    const machine = onlyMachine(store, options.machine)
    const axes =
      options.axis === undefined
        ? store.axes.list(machine.id, { includeRemoved: true })
        : [store.axes.resolve({ machine: machine.name, axis: options.axis }).axis]
    const entries = merged(store, axes)
    const { recordIn, stateOf } = await import('../../../jobs/index.js')
    const states = axes
      .filter((axis) => axis.removedAt === null)
      .map((axis) => stateOf(store, axis, nowIso()))
    if (options.chart !== undefined) {
      const { writeDriftPicture } = await import('../../history/drift-file.js')
      return writeDriftPicture(options.chart, machine, states, { ...options, store: store.path })
    }
    if (options.json) {
      const { stateJson } = await import('../../history/axis-state.js')
      return printJson({
        machine: machine.name,
        history: entries.map((one) => entryJson(one, recordIn)),
        axes: states.map(stateJson),
      })
    }
    if (entries.length === 0) return printResult(`Nothing has been done to ${machine.name} yet.`)
    const { historyEntryText } = await import('../../../words/index.js')
    const lines = entries.map(
      ({ axis, entry }) => `${when(entry)}  ${historyEntryText(axis, entry, machine.unit)}`,
    )
    printResult(lines.join('\n'))
    const { renderState } = await import('../../history/axis-state.js')
    const size = plotSize(process.stdout, CHART_LINES, process.env, process.platform)
    for (const text of states.flatMap((state) => renderState(state, size))) printResult(`\n${text}`)
  })
}

/** The histories of several axes by date; what was done to the machine stands in each of them and is told once. */
function merged(store: Store, axes: readonly Axis[]): AxisEntry[] {
  const seen = new Set<string>()
  return axes
    .flatMap((axis) =>
      store.history.list(axis.id).flatMap((entry): AxisEntry[] => {
        if (entry.kind !== 'change' || entry.subject !== 'machine') return [{ axis, entry }]
        const key = JSON.stringify(entry)
        if (seen.has(key)) return []
        seen.add(key)
        return [{ axis: null, entry }]
      }),
    )
    .sort((a, b) => timeOf(a.entry).localeCompare(timeOf(b.entry)))
}

function entryJson({ axis: of, entry }: AxisEntry, recordOf: typeof recordIn): unknown {
  const axis = of?.name ?? null
  if (entry.kind === 'recheck') {
    const { changed = null, range = null } = recordOf(entry) ?? {}
    return { axis, ...entry, changed, range }
  }
  if (entry.kind !== 'table') return { axis, ...entry }
  return { axis, ...entry, at: entry.fittedAt, direction: directionSign(entry.direction) }
}

function timeOf(entry: HistoryEntry): string {
  return entry.kind === 'table' ? entry.fittedAt : entry.at
}

function when(entry: HistoryEntry): string {
  return timeOf(entry).slice(0, 16).replace('T', ' ')
}
