import { rmSync, symlinkSync } from 'node:fs'
import { join } from 'node:path'
import { onTestFinished } from 'vitest'
import { temporaryFolder } from '../program.js'
import type { PlayedTime } from './played-time.js'
import { openPtyReadout, type PtyReadout } from './pty-readout.js'

/** A readout whose cable can be pulled and put back: one path, a new device behind it each time. */
interface ReplugReadout {
  /** The path to open; it is gone while the cable is out. */
  readonly path: string
  /** The device behind the path now. */
  readonly device: () => PtyReadout
  readonly pull: () => void
  readonly plugIn: () => void
}

/** Plugs a readout in for the first time. */
export function openReplugReadout(time?: PlayedTime): ReplugReadout {
  const path = join(temporaryFolder(), 'readout')
  let device = openPtyReadout({ time })
  symlinkSync(device.path, path)
  onTestFinished(() => device.close())
  const pull = (): void => {
    rmSync(path)
    device.vanish()
  }
  return {
    path,
    device: () => device,
    pull,
    plugIn: () => {
      time?.forget()
      device = openPtyReadout({ time })
      symlinkSync(device.path, path)
    },
  }
}
