import type { Command } from 'commander'
import type { PracticeOptions } from '../practice/practice.js'

const AFTER_HELP = `
A number runs past two marks ten times, which takes about two minutes; you press the space bar as it passes. The spread
of your presses, and any bias that is left in a timing, then go into the uncertainty of the entries timed with
--person NAME. Until you have done the test, a published value is used and named.

Examples
  tablepace practice --person Ann
  tablepace practice --show
  tablepace traverse --dial 4 --distance 6in --time 41.3s --direction + --person Ann
`

/** `practice` measures how a person presses a stopwatch. */
export function registerPractice(program: Command): void {
  program
    .command('practice')
    .description('a two-minute test of your own timing error with a stopwatch')
    .option('--person <name>', 'who is being timed')
    .option('--rounds <n>', 'how many movements to time (default: 10)')
    .option('--show', 'show the results so far')
    .addHelpText('after', AFTER_HELP)
    .action(async (_: unknown, command: Command) => {
      const { practice } = await import('../practice/practice.js')
      await practice(command.optsWithGlobals<PracticeOptions>())
    })
}
