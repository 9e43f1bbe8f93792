import type { Command } from 'commander'
import { UsageError } from '../../errors/index.js'
import { withAxis } from '../context.js'
import { collect, MARK_EVERY, withAxisOptions, withConditionOptions, withLineOptions } from '../options.js'
import type { RecheckOptions } from '../recheck/options.js'

const HELP = `
Verdicts and exit codes
  holds      0  at every rechecked mark, and for all together, the difference is shown to lie within the tolerance;
                a change that is shown but lies within it is mentioned
  moved      3  the difference is shown to lie beyond the tolerance: at a mark, as one factor, or as a turned knob
  undecided  4  neither; says which runs would decide. The same command with more runs (same reason) carries on
                and counts the earlier runs too, four looks at most; --new, or another reason, starts over.
The verdict is for the part of the dial from the lowest rechecked mark to the highest. Over all four looks each of the
two verdicts is wrong in at most 5 of 100 rechecks: the 5 % are split over the looks (2.5, 1.25, 0.75 and 0.5 %).

Where it moved and a common factor and a turned knob are both possible, it says which runs tell them apart, and
carries on in the same way.

A table that changed by one factor, or by a turn of the knob, can be made again from its old shape (--adopt, or the
question on a terminal): a new version that names its parent. Nothing is overwritten.

Conditions worth noting with --tag, for table and recheck alike: load=free, warmup=20min, approach=below.

Examples
  tablepace recheck --within 3 --plan
  tablepace recheck --within 3 --reason "gibs adjusted" --port /dev/ttyUSB0
  tablepace recheck --within 3 --reason "gibs adjusted" --sweep --port /dev/ttyUSB0
  tablepace recheck --within 3 --reason "gears regreased" --from 4=a.jsonl --from 4=b.jsonl --from 8=c.jsonl
  tablepace recheck --within 3 --reason "gears regreased" --from 8=d.jsonl
  tablepace recheck --within 2 --reason "new belt" --runs ID,ID,ID --adopt
  tablepace recheck --adopt    makes the table that was offered
`

/** `recheck` tells whether the table still holds. */
export function registerRecheck(program: Command): void {
  const command = withAxisOptions(
    program.command('recheck').description('does the table still hold, and if not, what changed?'),
  )
    .option('--within <percent>', 'how much a feed may have changed, up or down')
    .option('--reason <text>', 'what was done to the machine; kept with the result')
    .option('--from <file...>', 'recordings as DIAL=FILE, or stopwatch sheets (repeatable)', collect, [])
    .option('--runs <ids>', 'runs that are in the store already, separated by commas')
    .option('--port <path>', 'guide the runs and follow the readout on this serial port')
    .option('--sweep', 'with --port: turn the knob from mark to mark while the table travels')
    .option('--stopwatch', 'guide the runs and time on the keyboard')
    .option('--distance <length>', 'with --stopwatch: distance between the two marks you time')
    .option(...MARK_EVERY)
    .option('--direction <sign>', '+, - or both; guided runs go in one direction unless both are asked for')
    .option('--same-setting', 'the dial was not set again before these recordings')
    .option('--plan', 'only list the runs to make')
    .option('--adopt', 'where one factor or a turn of the knob explains the change, make the new table')
    .option('--new', 'start over instead of carrying on with a recheck that is not decided')
    .addHelpText('after', HELP)
  withConditionOptions(withLineOptions(command)).action(async (_: unknown, command: Command) => {
    const options = command.optsWithGlobals<RecheckOptions>()
    requireOneSource(options)
    const { runRecheck } = await import('../recheck/recheck.js')
    await withAxis(options, 'write', (store, target) => runRecheck(store, target, options))
  })
}

function requireOneSource(options: RecheckOptions): void {
  const named = [
    options.from.length > 0,
    options.runs !== undefined,
    options.port !== undefined,
    options.stopwatch === true,
  ].filter(Boolean).length
  if (options.sweep && options.port === undefined && !options.plan) {
    throw new UsageError(
      'two-plans',
      'Turning through many settings in one travel needs a readout.',
      'Give --sweep with --port alone.',
    )
  }
  if (named === 1 || (named === 0 && (options.adopt || options.plan))) return
  throw new UsageError(
    named === 0 ? 'no-source' : 'several-sources',
    named === 0 ? 'It is not clear where the runs come from.' : 'Runs can come from one source at a time.',
    'Give one of --from DIAL=FILE, --runs ID,ID, --port PATH or --stopwatch; --plan says which runs to make.',
  )
}
