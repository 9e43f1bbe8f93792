import { execFileSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, rmdirSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { temporaryFolder } from './program.js'

/** Only root on Linux may mount a small disk of its own, and not in every container. */
export function mayMount(): boolean {
  const place = mkdtempSync(join(tmpdir(), 'tablepace-mount-'))
  try {
    mount(place, '64k', 'ignore')
    execFileSync('umount', [place])
    return true
  } catch {
    return false
  } finally {
    rmdirSync(place)
  }
}

/** Works on a real disk of this size, such as `1m`, that is taken away afterwards whatever happens. */
export async function onSmallDisk(size: string, work: (disk: string) => Promise<void>): Promise<void> {
  const disk = join(temporaryFolder(), 'disk')
  mkdirSync(disk)
  mount(disk, size, 'inherit')
  try {
    await work(disk)
  } finally {
    execFileSync('umount', [disk])
  }
}

function mount(place: string, size: string, stdio: 'ignore' | 'inherit'): void {
  execFileSync('mount', ['-t', 'tmpfs', '-o', `size=${size}`, 'none', place], { stdio })
}
