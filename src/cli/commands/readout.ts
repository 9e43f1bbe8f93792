import type { Command } from 'commander'
import type { GlobalOptions } from '../context.js'
import { textTable } from '../render/text-table.js'
import { printJson, printResult } from '../terminal.js'

/** `readout ports` and `readout profiles`: what can be listened to, and how lines can be described. */
export function registerReadout(program: Command): void {
  const readout = program.command('readout').description('position readouts: ports and line profiles')
  readout
    .command('ports')
    .description('list serial ports')
    .action((_: unknown, command: Command) => ports(command.optsWithGlobals()))
  readout
    .command('profiles')
    .description('list the line profiles that come with the program')
    .action((_: unknown, command: Command) => profiles(command.optsWithGlobals()))
}

async function ports(options: GlobalOptions): Promise<void> {
  const { listPorts } = await import('../../ingest/index.js')
  const found = await listPorts()
  if (options.json) return printJson({ ports: found })
  if (found.length === 0) {
    return printResult(
      'No serial port found. Plug the cable in and look again; a port can also be named directly with --port.',
    )
  }
  printResult(
    textTable(
      ['port', 'adapter', 'name that stays the same'].map((title) => ({ title, align: 'left' as const })),
      found.map((port) => [port.path, port.description, port.stablePath ?? '']),
    ),
  )
}

async function profiles(options: GlobalOptions): Promise<void> {
  const { listReadoutProfiles } = await import('../../ingest/index.js')
  const known = await listReadoutProfiles()
  if (options.json) return printJson({ profiles: known })
  printResult(
    textTable(
      ['profile', 'a line looks like', 'what it is'].map((title) => ({ title, align: 'left' as const })),
      known.map(({ name, examples, description }) => [name, examples[0] ?? '', description]),
    ),
  )
}
