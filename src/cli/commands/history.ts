import type { Command } from 'commander'
import type { HistoryEntry, Store } from '../../store/index.js'
import { type AxisOptions, onlyMachine, withStore } from '../context.js'
import { directionSign } from '../json-shapes.js'
import { withAxisOptions } from '../options.js'
import { describeEntry } from '../render/history-text.js'
import { printJson, printResult } from '../terminal.js'

/** An entry with the axis it was found under; changes of the machine itself have none. */
export interface AxisEntry {
  readonly axis: string | null
  readonly entry: HistoryEntry
}

/** `history` lists what was done to a machine. */
export function registerHistory(program: Command): void {
  withAxisOptions(
    program
      .command('history')
      .description('what was done to a machine: tables, rechecks, changes, runs left out, with reasons'),
  ).action((_: unknown, command: Command) => history(command.optsWithGlobals()))
}

function history(options: AxisOptions): Promise<void> {
  return withStore(options, 'read', (store) => {
    const machine = onlyMachine(store, options.machine)
    const axes =
      options.axis === undefined
        ? store.axes.list(machine.id, { includeRemoved: true })
        : [store.axes.resolve({ machine: machine.name, axis: options.axis }).axis]
    const entries = merged(store, axes)
    if (options.json) return printJson({ machine: machine.name, history: entries.map(entryJson) })
    if (entries.length === 0) return printResult(`Nothing was done to ${machine.name} yet.`)
    printResult(entries.map((one) => `${when(one.entry)}  ${describeEntry(one, machine.unit)}`).join('\n'))
  })
}

/** The histories of several axes by date; what was done to the machine stands in each of them and is told once. */
function merged(store: Store, axes: readonly { readonly id: number; readonly name: string }[]): AxisEntry[] {
  const seen = new Set<string>()
  return axes
    .flatMap((axis) =>
      store.history.list(axis.id).flatMap((entry): AxisEntry[] => {
        if (entry.kind !== 'change' || entry.subject !== 'machine') return [{ axis: axis.name, entry }]
        const key = JSON.stringify(entry)
        if (seen.has(key)) return []
        seen.add(key)
        return [{ axis: null, entry }]
      }),
    )
    .sort((a, b) => timeOf(a.entry).localeCompare(timeOf(b.entry)))
}

function entryJson({ axis, entry }: AxisEntry): unknown {
  if (entry.kind !== 'table') return { axis, ...entry }
  return { axis, ...entry, at: entry.fittedAt, direction: directionSign(entry.direction) }
}

function timeOf(entry: HistoryEntry): string {
  return entry.kind === 'table' ? entry.fittedAt : entry.at
}

function when(entry: HistoryEntry): string {
  return timeOf(entry).slice(0, 16).replace('T', ' ')
}
