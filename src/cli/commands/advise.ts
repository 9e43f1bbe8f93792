import type { Command } from 'commander'
import type { AdviseOptions } from '../advise/advise.js'
import { withAxis } from '../context.js'
import { withAxisOptions, withDirectionOption } from '../options.js'

const AFTER_HELP = `
--within is the half width that the 95 % interval of the mean feed shall have, percent. What is expected is worked out
by the fit itself, with the scatter that the runs of this axis have shown, or a typical one (and said so) before any
setting was repeated. Ask again after some runs.

Examples
  tablepace advise --feed 7in/min --within 1 --stopwatch --person Ann
  tablepace advise --feed 180mm/min --within 0.5 --readout-rate 10 --readout-step 0.005mm
`

/** `advise` says what to measure to know a feed well enough. */
export function registerAdvise(program: Command): void {
  withDirectionOption(
    withAxisOptions(
      program
        .command('advise')
        .description('how long a traverse and how many runs you need to know a feed well enough'),
    ),
  )
    .requiredOption('--feed <feed>', 'the feed you want to know')
    .requiredOption('--within <percent>', 'how well: half the width of the 95 % interval, percent')
    .option('--stopwatch', 'the runs are timed with a stopwatch')
    .option('--person <name>', 'who times; see `tablepace practice`')
    .option('--readout-rate <hz>', 'lines a second of the readout')
    .option('--readout-step <length>', 'smallest step the readout shows')
    .addHelpText('after', AFTER_HELP)
    .action((_: unknown, command: Command) => {
      const options = command.optsWithGlobals<AdviseOptions>()
      return withAxis(options, 'read', async (store, target) => {
        const { adviseCommand } = await import('../advise/advise.js')
        adviseCommand(store, target, options)
      })
    })
}
