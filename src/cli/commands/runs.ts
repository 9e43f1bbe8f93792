import type { Command } from 'commander'
import { newestMove } from '../../jobs/tables/machine-state.js'
import { isCounting, type MachineAxis, type Run, type Store } from '../../store/index.js'
import { countOf } from '../../text/index.js'
import { type AxisOptions, nowIso, withAxis } from '../context.js'
import { storedRunJson } from '../json-shapes.js'
import { parseDate, withAxisOptions } from '../options.js'
import { renderRuns } from '../render/runs.js'
import { printJson, printResult, say } from '../terminal/terminal.js'
import { registerRunFinish } from './run-finish.js'

interface RunsOptions extends AxisOptions {
  readonly since?: string
  readonly reason?: string
}

/** `runs` lists what was measured; `run drop` and `run keep` say which of it counts. */
export function registerRuns(program: Command): void {
  withAxisOptions(
    program.command('runs').description('list the runs of an axis, with those left out and why'),
  )
    .option('--since <date>', 'only runs made since this date')
    .action((_: unknown, command: Command) => list(command.optsWithGlobals()))
  const run = program.command('run').description('one run: show it, leave it out of fits, put it back')
  registerRunFinish(run)
  withAxisOptions(run.command('show <id>').description('show one run')).action(
    (id: string, _: unknown, command: Command) => show(id, command.optsWithGlobals()),
  )
  withAxisOptions(run.command('drop <id>').description('leave a run out of later fits; nothing is deleted'))
    .requiredOption('--reason <text>', 'why')
    .action((id: string, _: unknown, command: Command) => {
      const options = command.optsWithGlobals<RunsOptions>()
      return mark(options, (store) => store.runs.drop(store.runs.find(id).id, options.reason ?? '', nowIso()))
    })
  withAxisOptions(
    run.command('keep <id>').description('put a run that was left out back into later fits'),
  ).action((id: string, _: unknown, command: Command) =>
    mark(command.optsWithGlobals(), (store) => store.runs.keep(store.runs.find(id).id, nowIso())),
  )
}

function list(options: RunsOptions): Promise<void> {
  return withAxis(options, 'read', (store, target) => {
    const since = options.since === undefined ? {} : { since: parseDate(options.since) }
    const runs = store.runs.list(target.axis.id, since)
    present(runs, target, options)
    const moveIso = newestMove(store, target.axis)
    const before = runs.filter((run) => isCounting(run) && moveIso !== null && run.createdAt < moveIso)
    if (before.length > 0 && moveIso !== null)
      say(
        `${countOf(before.length, 'run')} made before ${moveIso.slice(0, 10)}, when a recheck found that the feeds had changed: a new table leaves them out.`,
      )
  })
}

function show(id: string, options: RunsOptions): Promise<void> {
  return withAxis(options, 'read', (store, target) => present([store.runs.find(id)], target, options))
}

function mark(options: RunsOptions, change: (store: Store) => Run): Promise<void> {
  return withAxis(options, 'write', (store, target) => present([change(store)], target, options))
}

function present(runs: readonly Run[], { axis }: MachineAxis, options: AxisOptions): void {
  if (options.json) printJson({ runs: runs.map((run) => storedRunJson(run, axis.unit)) }, axis)
  else printResult(runs.length === 0 ? 'No runs yet.' : renderRuns(runs, axis))
}
