import { UsageError } from '../../errors/index.js'
import { type Cautions, cautionsFor, type Occasion } from '../../jobs/index.js'
import { canAsk, paint, printResult, say } from './terminal.js'

/** Shows cautions on stderr, beside what a person is told to do. */
export function sayCautions({ heading, cautions }: Cautions): void {
  say(paint('bold', heading))
  for (const caution of cautions) say(`  - ${caution}`)
}

/** Prints cautions on stdout, above the figures they are for: who pipes the figures on has them too. */
export function printCautions({ heading, cautions }: Cautions): void {
  printResult([paint('bold', heading), ...cautions.map((caution) => `  - ${caution}`), ''].join('\n'))
}

/**
 * Shows the cautions before a table moves and asks whether to go on; goes on without asking when told so.
 *
 * @param withoutTerminal what happens where nobody can be asked: one traverse goes on, a session of many is refused
 * @throws UsageError `abandoned` when the answer is no, `cautions-unread` where there is no terminal to ask on
 */
export async function showCautions(
  occasion: Occasion,
  agreed: boolean,
  withoutTerminal: 'goes-on' | 'is-refused',
): Promise<void> {
  sayCautions(cautionsFor(occasion))
  if (agreed) return
  if (!canAsk()) {
    if (withoutTerminal === 'goes-on') return
    throw new UsageError(
      'cautions-unread',
      'Not started: there is no terminal to ask whether all is clear.',
      'Read the cautions above. When all is clear, start again with --yes.',
    )
  }
  const { confirm } = await import('@inquirer/prompts')
  const goOn = await confirm({ message: 'All clear?', default: false }, { output: process.stderr })
  if (!goOn)
    throw new UsageError(
      'abandoned',
      'Not started: the cautions were not confirmed.',
      'Start again when all is clear.',
    )
}
