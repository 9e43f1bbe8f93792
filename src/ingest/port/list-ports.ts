import { readdir, realpath } from 'node:fs/promises'
import { join } from 'node:path'

/** A serial port that a readout may hang on. */
export interface PortInfo {
  /** What to give to `--port`. */
  readonly path: string
  /** Name of the adapter as the system knows it, or an empty text. */
  readonly description: string
  /** A path that stays the same after replugging, or null where the system has none. */
  readonly stablePath: string | null
}

/**
 * Lists the serial ports. Where the system service that knows them is missing (containers, small
 * Linux systems), the device files themselves are looked at.
 */
export async function listPorts(): Promise<readonly PortInfo[]> {
  try {
    const { SerialPort } = await import('serialport')
    const ports = await SerialPort.list()
    // Linux lists on-board ports that do not exist; they have neither maker nor number.
    const real = ports.filter(
      (port) => process.platform !== 'linux' || !/ttyS\d+$/.test(port.path) || port.pnpId,
    )
    const stable = await stablePaths('/dev')
    return real.map((port) => ({
      path: port.path,
      description: [port.manufacturer, port.serialNumber].filter(Boolean).join(' '),
      stablePath: stable.get(port.path) ?? null,
    }))
  } catch {
    return await listDeviceFiles('/dev')
  }
}

/** USB serial ports by their device files in `folder`, which is `/dev` but for tests. */
export async function listDeviceFiles(folder: string): Promise<readonly PortInfo[]> {
  const stable = await stablePaths(folder)
  const names = (await namesIn(folder)).filter((name) => /^tty(?:USB|ACM)\d+$/.test(name)).sort()
  return names.map((name) => {
    const path = join(folder, name)
    const stablePath = stable.get(path) ?? null
    return { path, description: stablePath === null ? '' : stablePath.split('/').at(-1)!, stablePath }
  })
}

/**
 * The path that leads to the same adapter after it was unplugged and plugged in again, or null where the system keeps
 * none for it.
 *
 * @param folder `/dev` but for tests
 */
export async function stablePathOf(path: string, folder = '/dev'): Promise<string | null> {
  const device = await realpath(path).catch(() => null)
  return device === null ? null : ((await stablePaths(folder)).get(device) ?? null)
}

/** Device path to its link in serial/by-id, which names the adapter and survives replugging. */
async function stablePaths(folder: string): Promise<Map<string, string>> {
  const byId = join(folder, 'serial', 'by-id')
  const paths = new Map<string, string>()
  for (const name of await namesIn(byId)) {
    const link = join(byId, name)
    const target = await realpath(link).catch(() => null)
    if (target !== null) paths.set(target, link)
  }
  return paths
}

async function namesIn(folder: string): Promise<string[]> {
  return await readdir(folder).catch(() => [])
}
