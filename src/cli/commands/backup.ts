import type { Command } from 'commander'
import { type GlobalOptions, storePath } from '../context.js'
import { printJson, printResult } from '../terminal.js'

/** `backup` copies the store while it is in use. */
export function registerBackup(program: Command): void {
  program
    .command('backup')
    .description('make a sound copy of the store, also while it is in use')
    .requiredOption('--to <path>', 'file to write; it must not be there yet')
    .action((_: unknown, command: Command) => backup(command.optsWithGlobals()))
}

async function backup(options: GlobalOptions & { readonly to: string }): Promise<void> {
  const store = await storePath(options)
  const { backUp } = await import('../../jobs/index.js')
  const { path, bytes } = backUp(store, options.to)
  if (options.json) printJson({ store, backup: path, bytes })
  else printResult(`Copied ${store} to ${path} (${Math.ceil(bytes / 1000)} kB), and the copy is sound.`)
}
