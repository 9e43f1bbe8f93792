import type { Command } from 'commander'
import { storePath, type WritingOptions } from '../../context.js'
import { withForceOption } from '../../options.js'
import { printJson, printResult } from '../../terminal/terminal.js'

/** `backup` copies the store while it is in use. */
export function registerBackup(program: Command): void {
  withForceOption(
    program
      .command('backup')
      .description('copy the store safely, even while it is in use')
      .requiredOption('--to <path>', 'file to write'),
  ).action((_: unknown, command: Command) => backup(command.optsWithGlobals()))
}

async function backup(options: WritingOptions & { readonly to: string }): Promise<void> {
  const store = await storePath(options)
  const { backUp } = await import('../../../jobs/index.js')
  const { path, bytes } = backUp(store, options.to, options.force ?? false)
  if (options.json) printJson({ store, backup: path, bytes })
  else
    printResult(
      `Copied ${store} to ${path} (${Math.ceil(bytes / 1000)} kB). The copy was checked and is sound.`,
    )
}
