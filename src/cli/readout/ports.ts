import { listPorts, portAccess } from '../../ingest/index.js'
import type { GlobalOptions } from '../context.js'
import { textTable } from '../render/text-table.js'
import { printJson, printResult } from '../terminal/terminal.js'

/** `readout ports`: the serial ports with what is known of them, and what to do where one cannot be used. */
export async function showPorts(options: GlobalOptions): Promise<void> {
  const found = await Promise.all(
    (await listPorts()).map(async (port) => ({ ...port, ...(await portAccess(port.path)) })),
  )
  if (options.json) return printJson({ ports: found })
  if (found.length === 0) {
    return printResult(
      'No serial port found. Plug the cable in and look again. A port can also be named directly with --port.',
    )
  }
  printResult(
    textTable(
      ['port', 'adapter', 'state', 'name that stays the same'].map((title) => ({
        title,
        align: 'left' as const,
      })),
      found.map((port) => [port.path, port.description, port.access, port.stablePath ?? '']),
    ),
  )
  for (const { path, advice } of found) if (advice !== null) printResult(`${path}: ${advice}`)
}
