import { existsSync, statfsSync } from 'node:fs'
import { dirname, resolve } from 'node:path'
import { sentence, way } from '../../errors/index.js'
import type { Finding } from './doctor.js'

/** File systems by the number that Linux gives them (statfs(2)) on which locks and syncing cannot be relied on. */
const NETWORK_KINDS: ReadonlyMap<number, string> = new Map([
  [0x6969, 'NFS'],
  [0x517b, 'SMB'],
  [0xff534d42, 'CIFS'],
  [0xfe534d42, 'SMB'],
  [0x5346414f, 'AFS'],
  [0x00c36400, 'Ceph'],
  [0x01021997, '9P'],
  [0x786f4256, 'a shared folder of a virtual machine'],
])
/**
 * Free bytes below which space is scarce. Judgement: twenty sessions of fast lines, each some 10 MB (100 lines a
 * second for half an hour).
 */
const SCARCE_BYTES = 200e6
/** Free bytes below which there is too little: two such sessions (judgement). */
const TOO_LITTLE_BYTES = 20e6

/** What is asked of a file system; the default asks the system. */
interface Disk {
  readonly kind: number
  readonly freeBytes: number
}

/** Whether there is room for more recordings, and whether the store lies on a drive of this computer. */
export function checkSpace(storePath: string, disk: Disk = diskOf(storePath)): Finding[] {
  const folder = dirname(resolve(storePath))
  return [roomLeft(folder, disk.freeBytes), ...networkDrive(folder, disk.kind)]
}

function roomLeft(folder: string, freeBytes: number): Finding {
  const finding = `${megabytes(freeBytes)} are free for the store in ${folder}.`
  if (freeBytes >= SCARCE_BYTES) return { check: 'space', state: 'ok', finding, wayOut: null }
  const state = freeBytes < TOO_LITTLE_BYTES ? 'bad' : 'look'
  return { check: 'space', state, finding, wayOut: 'Make room on the disk before a long session.' }
}

function networkDrive(folder: string, kind: number): Finding[] {
  const name = /^\\\\/.test(folder) ? 'a network share' : NETWORK_KINDS.get(kind)
  if (name === undefined) return []
  return [
    {
      check: 'space',
      state: 'look',
      finding: `The folder ${folder} lies on a network drive (${name}), where a store may be damaged when two programs write.`,
      wayOut: sentence`Keep the store on a drive of this computer, and put backups on the network${way('back-up')}.`,
    },
  ]
}

/** The nearest folder that is there already stands for one that will be made. */
function diskOf(storePath: string): Disk {
  let folder = dirname(resolve(storePath))
  while (!existsSync(folder) && dirname(folder) !== folder) folder = dirname(folder)
  const { type, bavail, bsize } = statfsSync(folder)
  return { kind: type, freeBytes: bavail * bsize }
}

function megabytes(bytes: number): string {
  return bytes >= 1e9 ? `${(bytes / 1e9).toFixed(1)} GB` : `${Math.round(bytes / 1e6)} MB`
}
