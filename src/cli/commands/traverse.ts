import type { Command } from 'commander'
import { UsageError } from '../../errors/index.js'
import { tellBrokenOff, withSettingAxis } from '../context.js'
import { collect, MARK_EVERY, withAxisOptions, withConditionOptions, withLineOptions } from '../options.js'
import type { TraverseOptions } from '../traverse/options.js'

/** `traverse` records runs from files, a port, or a stopwatch. */
export function registerTraverse(program: Command): void {
  const command = withAxisOptions(program.command('traverse').description('record runs at a dial setting'))
    .option('--dial <d>', 'the dial setting, or `rapid` for the rapid traverse')
    .option('--settings <list>', 'the dial is turned through these in one travel, such as 1,2,3,5,7,9')
    .option(
      '--from <file...>',
      'recordings, stopwatch sheets or timed readings; DIAL=FILE for several settings (repeatable)',
      collect,
      [],
    )
    .option('--port <path>', 'record live from this serial port, such as /dev/ttyUSB0 or COM3')
    .option('--for <duration>', 'stop a live recording after this long')
    .option('--stopwatch', 'time on the keyboard')
    .option('--distance <length>', 'one stopwatch entry: distance travelled')
    .option('--time <duration>', 'one stopwatch entry: time taken')
    .option('--direction <sign>', 'one stopwatch entry: + or -')
    .option(...MARK_EVERY)
    .option('--same-setting', 'the dial was not set again before this recording')
    .option('--check', 'check runs: they tell how the machine feeds today, and change no mark of the table')
    .option('--no-save', 'judge the runs without storing them')
  withConditionOptions(withLineOptions(command)).action(async (_: unknown, command: Command) => {
    const given = command.optsWithGlobals<TraverseOptions>()
    const source = sourceOf(given)
    // Judging without storing reads the machine and changes nothing.
    await withSettingAxis(given, given.save ? 'write' : 'read', given.dial, async (store, target, dial) => {
      const options = dial === undefined ? given : { ...given, dial }
      if (options.save) await tellBrokenOff(store, target)
      if (source === 'files') {
        const { traverseFromFiles } = await import('../traverse/from-files.js')
        await traverseFromFiles(store, target, options)
      } else if (source === 'port') {
        const { traverseFromPort } = await import('../traverse/from-port.js')
        await traverseFromPort(store, target, options)
      } else {
        const { traverseFromStopwatch } = await import('../traverse/from-stopwatch.js')
        await traverseFromStopwatch(store, target, options)
      }
      if (options.check === true && options.save && !options.json) {
        const { tellToday } = await import('../traverse/tell-today.js')
        tellToday(store, target, options)
      }
    })
  })
}

type Source = 'files' | 'port' | 'stopwatch'

function sourceOf(options: TraverseOptions): Source {
  const entered = options.distance !== undefined || options.time !== undefined
  const named: Source[] = [
    ...(options.from.length > 0 ? (['files'] as const) : []),
    ...(options.port === undefined ? [] : (['port'] as const)),
    ...(entered || options.stopwatch ? (['stopwatch'] as const) : []),
  ]
  if (named.length === 1) return named[0]!
  throw new UsageError(
    named.length === 0 ? 'no-source' : 'several-sources',
    named.length === 0
      ? 'It is not clear where the runs come from.'
      : 'Runs can come from one source at a time.',
    'Give one of --from FILE, --port PATH, --stopwatch, or --distance with --time and --direction.',
  )
}
