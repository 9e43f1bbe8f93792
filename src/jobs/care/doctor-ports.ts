import { constants } from 'node:fs'
import { access, readFile, realpath } from 'node:fs/promises'
import { basename, join } from 'node:path'
import { type PortInfo, portError } from '../../ingest/index.js'
import type { Finding } from './doctor.js'

/**
 * Timer of an adapter, ms, at which its lines arrive one by one. Derived: 1 ms is a byte at 9600 baud; the usual
 * timer is 16 ms.
 */
const SHORTEST_LATENCY_MS = 1

/**
 * Whether the serial ports may be opened, and whether their adapters hand lines on at once.
 *
 * @param systemFolder where Linux shows its devices, `/sys` but for tests
 */
export async function checkPorts(ports: readonly PortInfo[], systemFolder = '/sys'): Promise<Finding[]> {
  if (ports.length === 0) {
    return [
      {
        check: 'port',
        state: 'look',
        finding: 'No serial port was found.',
        wayOut: 'Plug the cable of the readout in; recordings and a stopwatch work without one.',
      },
    ]
  }
  return (await Promise.all(ports.map((port) => checkPort(port, systemFolder)))).flat()
}

async function checkPort({ path }: PortInfo, systemFolder: string): Promise<Finding[]> {
  const rights = await rightsProblem(path)
  if (rights !== null) return [rights]
  const latencyMs = await latencyTimerMs(path, systemFolder)
  if (latencyMs === null || latencyMs <= SHORTEST_LATENCY_MS) {
    const latency = latencyMs === null ? '' : `; its adapter gathers bytes for ${latencyMs} ms`
    return [{ check: 'port', state: 'ok', finding: `${path} may be opened${latency}.`, wayOut: null }]
  }
  return [
    {
      check: 'port',
      state: 'look',
      finding: `The adapter of ${path} gathers bytes for ${latencyMs} ms, so lines arrive in batches.`,
      wayOut:
        'As root write 1 into ' +
        `${join(systemFolder, 'bus/usb-serial/devices', basename(path), 'latency_timer')}; to keep it, put ` +
        'ACTION=="add", SUBSYSTEM=="usb-serial", ATTR{latency_timer}="1" into a file in /etc/udev/rules.d.',
    },
  ]
}

/** Windows tells only when a port is opened. */
async function rightsProblem(path: string): Promise<Finding | null> {
  if (process.platform === 'win32') return null
  try {
    await access(path, constants.R_OK | constants.W_OK)
    return null
  } catch (error) {
    const { message, said } = portError(path, error)
    return { check: 'port', state: 'bad', finding: message, wayOut: said.hint }
  }
}

/** The latency timer of the adapter, ms; null for one without (only some USB adapters have it). */
async function latencyTimerMs(path: string, systemFolder: string): Promise<number | null> {
  const device = basename(await realpath(path).catch(() => path))
  try {
    const file = join(systemFolder, 'bus/usb-serial/devices', device, 'latency_timer')
    const latencyMs = Number((await readFile(file, 'utf8')).trim())
    return Number.isFinite(latencyMs) ? latencyMs : null
  } catch {
    return null
  }
}
