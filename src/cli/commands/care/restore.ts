import type { Command } from 'commander'
import { type GlobalOptions, nowIso, storePath } from '../../context.js'
import { printJson, printResult } from '../../terminal/terminal.js'

/** `restore` brings a backup back. */
export function registerRestore(program: Command): void {
  program
    .command('restore <backup>')
    .description('replace the store by a backup; the old store is kept beside it')
    .action((from: string, _: unknown, command: Command) => restoreFrom(from, command.optsWithGlobals()))
}

async function restoreFrom(from: string, options: GlobalOptions): Promise<void> {
  const { restore } = await import('../../../jobs/index.js')
  const stamp = nowIso().replace(/[:.]/g, '').replace('T', '-')
  const done = restore(from, await storePath(options), stamp)
  if (options.json) return printJson(done)
  const kept = done.replaced === null ? '' : `\nThe store that was there before is kept as ${done.replaced}`
  printResult(`${done.from} is sound, and is now the store ${done.store}${kept}`)
}
