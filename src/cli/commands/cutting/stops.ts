import type { Command } from 'commander'
import { withSettingAxis } from '../../context.js'
import { withAxisOptions, withDirectionOption } from '../../options.js'
import type { StopsOptions } from '../../stops/stops.js'

const AFTER_HELP = `
Worked out from the coasts of runs with a readout, three or more at each setting and direction. The next coast stays
below the bound with 95 % probability (one-sided prediction bound by Student's t, the uncertainty of each
measured coast included); the farthest of the settings asked for counts. Your margin is added, but never less than
what a stop needs even for a table that stops dead: the travel until the drive lets go, and how exactly a stop is set.

Examples
  tablepace stops --margin 0.1in
  tablepace stops --dial 8,10,rapid --direction + --margin 2mm
`

/** `stops` says where to set the limit stop, from the recorded coasts. */
export function registerStops(program: Command): void {
  withDirectionOption(
    withAxisOptions(
      program.command('stops').description('where to set the limit stop, from the recorded coasts'),
    ),
  )
    .option('--dial <list>', 'only these settings, separated by commas; `rapid` is one')
    .option('--margin <length>', 'extra travel you want to spare (default: the least a stop needs)')
    .addHelpText('after', AFTER_HELP)
    .action((_: unknown, command: Command) => {
      const options = command.optsWithGlobals<StopsOptions>()
      return withSettingAxis(options, 'read', options.dial, async (store, target, dial) => {
        const { stops } = await import('../../stops/stops.js')
        await stops(store, target, dial === undefined ? options : { ...options, dial })
      })
    })
}
