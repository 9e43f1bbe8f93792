import type { Command } from 'commander'
import { type AskedGroups, groupsAsked } from '../../compare/groups.js'
import { type AxisOptions, withAxis } from '../../context.js'
import { collect, parsePercent, withAxisOptions, withDirectionOption } from '../../options.js'
import { printJson, printResult } from '../../terminal/terminal.js'

type CompareOptions = AxisOptions & AskedGroups & { readonly within: string }

const HELP = `
The difference is that of the second group against the first, in percent of the feed, at every dial that both have and
overall. It is "alike" where the 90 % interval lies within the tolerance everywhere, "different" where scatter does not
explain it, else "undecided". Tags come with the runs: tablepace traverse … --tag load=free

Examples
  tablepace compare --by direction
  tablepace compare --by load=free,cutting
  tablepace compare --a drive=cold --b drive=warm --direction +
  tablepace compare --before 2026-11-20 --within 2
`

/** `compare` tells how two groups of runs differ. */
export function registerCompare(program: Command): void {
  withDirectionOption(
    withAxisOptions(
      program.command('compare').description('how two groups of runs differ, such as cold and warm'),
    ),
  )
    .option('--by <tag>', 'direction, or TAG=A,B for the runs with that tag')
    .option('--a <key=value>', 'tag of the first group (repeatable)', collect, [])
    .option('--b <key=value>', 'tag of the second group (repeatable)', collect, [])
    .option('--before <date>', 'the first group was made before this date, the second since')
    .option('--since <date>', 'only runs made since this date')
    .option('--tag <key=value>', 'only runs with this tag in both groups (repeatable)', collect, [])
    .option('--within <percent>', 'what counts as alike', '2')
    .addHelpText('after', HELP)
    .action((_: unknown, command: Command) => compare(command.optsWithGlobals()))
}

function compare(options: CompareOptions): Promise<void> {
  return withAxis(options, 'read', async (store, { axis }) => {
    const withinPercent = parsePercent(options.within, '--within')
    const { compareRuns } = await import('../../../jobs/index.js')
    const found = compareRuns(store, axis, groupsAsked(options), withinPercent)
    if (options.json) {
      const { comparisonJson } = await import('../../compare/json.js')
      printJson(comparisonJson(found, withinPercent, axis.unit), axis)
    } else {
      const { renderComparison } = await import('../../compare/text.js')
      printResult(renderComparison(found, withinPercent, axis))
    }
  })
}
