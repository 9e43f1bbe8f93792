import type { Command } from 'commander'
import type { AdviseOptions } from '../advise/options.js'
import { withAxis } from '../context.js'
import { withAxisOptions, withDirectionOption } from '../options.js'

const AFTER_HELP = `
--within is half the width that the 95 % interval of the mean feed should have, in percent.

With --feed it is about that feed. What to expect is worked out by the fit itself, with the scatter that the runs of this
axis have shown. Before any setting was repeated a typical scatter is taken, and the answer says so. Ask again after some runs.

Without --feed it is about the whole table: which run to make next, and how many more it is likely to take. A place is
good enough when its mean is known to that percentage, or to half of what the next setting of the knob scatters:
knowing it better than that would gain almost nothing. --percent-only asks for the percentage alone. The next run is the
one that narrows the worst place most, in either direction, at a mark or half way between two where the dial is not
stepped. The second direction borrows the shape of the first, so a run in the first counts for both. Ask again after each
run; \`tablepace calibrate --within\` does so by itself.

Examples
  tablepace advise --within 2
  tablepace advise --feed 7in/min --within 1 --stopwatch --person Ann
  tablepace advise --feed 180mm/min --within 0.5 --readout-rate 10 --readout-step 0.005mm
`

/** `advise` says what to measure to know a feed well enough. */
export function registerAdvise(program: Command): void {
  withDirectionOption(
    withAxisOptions(
      program
        .command('advise')
        .description(
          'how long a traverse and how many runs you need to know a feed, or a whole table, well enough',
        ),
    ),
  )
    .option('--feed <feed>', 'the feed you want to know; the whole table where left out')
    .requiredOption('--within <percent>', 'how well: half the width of the 95 % interval, percent')
    .option(
      '--percent-only',
      'the whole table: no place is good enough before it is known to that percentage',
    )
    .option('--stopwatch', 'the runs are timed with a stopwatch')
    .option('--person <name>', 'who times; see `tablepace practice`')
    .option('--readout-rate <hz>', 'lines a second of the readout')
    .option('--readout-step <length>', 'smallest step the readout shows')
    .addHelpText('after', AFTER_HELP)
    .action((_: unknown, command: Command) => {
      const options = command.optsWithGlobals<AdviseOptions>()
      return withAxis(options, 'read', async (store, target) => {
        if (options.feed === undefined) {
          const { adviseTableCommand } = await import('../advise/whole-table.js')
          adviseTableCommand(store, target, options)
          return
        }
        const { adviseCommand } = await import('../advise/advise.js')
        adviseCommand(store, target, { ...options, feed: options.feed })
      })
    })
}
