import type { Command } from 'commander'
import { UsageError } from '../../errors/index.js'
import type { CalibrateOptions } from '../calibrate/options.js'
import { withAxis } from '../context.js'
import { MARK_EVERY, withAxisOptions, withConditionOptions, withLineOptions } from '../options.js'

const AFTER_HELP = `
With --within every setting is run once, and some again to learn how far runs scatter. After that comes always the run
that narrows the worst place most, at a mark or half way between two where the dial is not stepped. The second direction
is measured at few settings and borrows the shape of the first, so a run in the first counts for both. It stops when
every place is good enough: the half width of its mean (95 %) is within the percentage, or within half of that of its
next setting, because knowing the mean better than half of what setting the knob scatters would gain almost nothing.
--percent-only asks for the percentage alone. Without --within it follows fixed passes.

With --sweep the table travels through its whole length while the knob is turned from mark to mark, 7 seconds or one and
a half turns of the leadscrew each: a bell and large type say when to turn, to what, and when to stop. Every mark gets two runs each way; with --within beside
it further travels turn only through the settings that the worst places need, until every place is good enough.

Examples
  tablepace calibrate --port /dev/ttyUSB0
  tablepace calibrate --stopwatch
  tablepace calibrate --sweep --port /dev/ttyUSB0
  tablepace calibrate --sweep --within 2 --port /dev/ttyUSB0
  tablepace calibrate --within 2 --port /dev/ttyUSB0
  tablepace calibrate --within 3 --direction + --stopwatch
`

/** `calibrate` guides a whole session through all marks. */
export function registerCalibrate(program: Command): void {
  const command = withAxisOptions(
    program
      .command('calibrate')
      .description('walk through a whole calibration: all marks, both directions, as often as it takes'),
  )
    .option('--within <percent>', 'run by run, until every place is known to this percentage')
    .option('--sweep', 'turn the knob through many settings in one travel, guided by sound and large type')
    .option('--percent-only', 'with --within: no place is good enough before it is known to that percentage')
    .option('--direction <sign>', 'with --within or --sweep: this direction alone, + or -')
    .option('--procedure <name>', 'fixed passes: standard, quick, stopwatch, or a procedure file')
    .option('--port <path>', 'follow the readout on this serial port')
    .option('--stopwatch', 'time on the keyboard')
    .option('--distance <length>', 'with --stopwatch: distance between the two marks you time')
    .option(...MARK_EVERY)
    .option('--new', 'start over instead of carrying on with the last session')
  command.addHelpText('after', AFTER_HELP)
  withConditionOptions(withLineOptions(command)).action(async (_: unknown, command: Command) => {
    const options = command.optsWithGlobals<CalibrateOptions>()
    if ((options.port === undefined) === (options.stopwatch !== true)) {
      throw new UsageError(
        'no-source',
        'A calibration needs a readout or a stopwatch.',
        'Give --port PATH or --stopwatch.',
      )
    }
    if (options.within !== undefined && options.procedure !== undefined) {
      throw new UsageError(
        'two-plans',
        'A calibration follows fixed passes, or goes on until it is good enough.',
        'Give --procedure or --within.',
      )
    }
    if (options.sweep && (options.procedure !== undefined || options.stopwatch)) {
      throw new UsageError(
        'two-plans',
        'Turning through many settings in one travel needs a readout, and follows a plan of its own.',
        'Give --sweep with --port, and --within 2 where it is to stop once the table is good enough.',
      )
    }
    const one = options.direction !== undefined && options.sweep !== true
    if (options.within === undefined && (options.percentOnly || one)) {
      throw new UsageError(
        'no-tolerance',
        'How well the feeds should be known is not given.',
        'Give --within 2 beside it, for two percent.',
      )
    }
    if (options.sweep) {
      const { calibrateBySweeps } = await import('../calibrate/sweep-session.js')
      await withAxis(options, 'write', (store, target) => calibrateBySweeps(store, target, options))
      return
    }
    const { calibrate } = await import('../calibrate/calibrate.js')
    await withAxis(options, 'write', (store, target) => calibrate(store, target, options))
  })
}
