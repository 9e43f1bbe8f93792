import { UsageError } from '../errors/index.js'
import { cautionsFor, type Occasion } from '../jobs/index.js'
import { canAsk, paintErr, say } from './terminal.js'

export { cautionsFor }

/**
 * Shows the cautions before a table moves and asks whether to go on; goes on without asking when told so, or where
 * there is no terminal to ask on.
 *
 * @throws UsageError `abandoned` when the answer is no
 */
export async function showCautions(occasion: Occasion, agreed: boolean): Promise<void> {
  say(paintErr('bold', 'Before the table moves'))
  for (const caution of await cautionsFor(occasion)) say(`  - ${caution}`)
  if (agreed || !canAsk()) return
  const { confirm } = await import('@inquirer/prompts')
  const goOn = await confirm({ message: 'All clear?', default: false }, { output: process.stderr })
  if (!goOn)
    throw new UsageError(
      'abandoned',
      'Not started: the cautions were not confirmed.',
      'Start again when all is clear.',
    )
}
