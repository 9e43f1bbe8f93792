import type { Said } from '../../errors/index.js'
import type { PortInfo } from '../../ingest/index.js'
import { checkClocks } from './doctor-clock.js'
import { checkPorts } from './doctor-ports.js'
import { checkSpace } from './doctor-space.js'
import { checkStore } from './doctor-store.js'

/** One thing looked at. `look`: works, but better known; `bad`: something will fail. */
export interface Finding {
  readonly check: 'store' | 'space' | 'clock' | 'port'
  readonly state: 'ok' | 'look' | 'bad'
  /** One sentence with the place and the numbers. */
  readonly finding: string
  /** The way out; null where nothing is to be done. */
  readonly wayOut: Said | null
}

/**
 * Looks at all that a measurement rests on: the store and its disk, the clocks of this computer, the serial ports.
 * Changes nothing.
 */
export async function examine(storePath: string, ports: readonly PortInfo[]): Promise<Finding[]> {
  return [
    ...checkStore(storePath),
    ...checkSpace(storePath),
    ...(await checkClocks()),
    ...(await checkPorts(ports)),
  ]
}
