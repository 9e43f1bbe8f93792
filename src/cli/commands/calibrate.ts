import type { Command } from 'commander'
import { UsageError } from '../../errors/index.js'
import type { CalibrateOptions } from '../calibrate/options.js'
import { withAxis } from '../context.js'
import { withAxisOptions, withConditionOptions, withLineOptions } from '../options.js'

/** `calibrate` guides a whole session through all marks. */
export function registerCalibrate(program: Command): void {
  const command = withAxisOptions(
    program
      .command('calibrate')
      .description('walk through a whole calibration: all marks, both directions, repeats'),
  )
    .option('--procedure <name>', 'standard, quick, stopwatch, or a procedure file')
    .option('--port <path>', 'follow the readout on this serial port')
    .option('--stopwatch', 'time on the keyboard')
    .option('--distance <length>', 'with --stopwatch: distance between the two marks you time')
    .option('--new', 'start over instead of carrying on with the last session')
  withConditionOptions(withLineOptions(command)).action(async (_: unknown, command: Command) => {
    const options = command.optsWithGlobals<CalibrateOptions>()
    if ((options.port === undefined) === (options.stopwatch !== true)) {
      throw new UsageError(
        'no-source',
        'A calibration needs a readout or a stopwatch.',
        'Give --port PATH or --stopwatch.',
      )
    }
    const { calibrate } = await import('../calibrate/calibrate.js')
    await withAxis(options, 'write', (store, target) => calibrate(store, target, options))
  })
}
