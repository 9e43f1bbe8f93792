import { constants } from 'node:fs'
import { access, readdir, readFile, readlink, realpath, stat } from 'node:fs/promises'
import { userInfo } from 'node:os'
import { join } from 'node:path'

/** Whether a port can be opened, as far as that shows without opening it: opening restarts some boards. */
interface PortAccess {
  /** `unknown` where the system does not tell. */
  readonly access: 'free' | 'denied' | 'busy' | 'unknown'
  /** What to do about it, one sentence or two; null where nothing is to be done. */
  readonly advice: string | null
}

/** Where the system is looked at; other folders in tests. */
interface SystemFolders {
  /** `/etc` */
  readonly etc: string
  /** `/proc` */
  readonly proc: string
  /** Folders that programs leave lock files in, `LCK..ttyUSB0` with their process number. */
  readonly locks: readonly string[]
}

const LINUX: SystemFolders = { etc: '/etc', proc: '/proc', locks: ['/var/lock', '/run/lock'] }
/** Groups that own serial ports on Linux systems. */
const USUAL_GROUPS = ['dialout', 'uucp']

/** Looks at rights and users of a port without touching it. */
export async function portAccess(path: string, folders: SystemFolders = LINUX): Promise<PortAccess> {
  if (process.platform !== 'linux') return { access: 'unknown', advice: null }
  const device = await realpath(path).catch(() => path)
  const refusal = await access(device, constants.R_OK | constants.W_OK).then(
    () => null,
    (error: NodeJS.ErrnoException) => error.code ?? '',
  )
  // Unplugged since it was listed.
  if (refusal === 'ENOENT') return { access: 'unknown', advice: null }
  if (refusal !== null) return { access: 'denied', advice: await groupAdvice(device, folders) }
  const user = await userOf(device, folders)
  if (user === null) return { access: 'free', advice: null }
  return { access: 'busy', advice: `In use by ${user}: close that program.` }
}

interface Group {
  readonly name: string
  readonly id: number
  readonly members: readonly string[]
}

/** Which group to join, or that the session is older than the membership. */
export async function groupAdvice(device: string, { etc }: Pick<SystemFolders, 'etc'>): Promise<string> {
  const owner = await stat(device).then(
    (found) => found.gid,
    () => null,
  )
  const groups = await readGroups(etc)
  const group =
    groups.find((one) => one.id === owner && one.id !== 0) ??
    groups.find((one) => USUAL_GROUPS.includes(one.name))
  if (group === undefined) {
    return 'You are not allowed to read and write it: add yourself to the group that owns it (dialout or uucp) and log in again.'
  }
  // Membership counts from the next login on.
  if (group.members.includes(userInfo().username)) {
    return `You are in the group ${group.name} by now, but not in this session: log out and in again.`
  }
  return `It belongs to the group ${group.name}: add yourself to that group and log in again.`
}

async function readGroups(etc: string): Promise<readonly Group[]> {
  const text = await readFile(join(etc, 'group'), 'utf8').catch(() => '')
  return text.split('\n').flatMap((line) => {
    const [name, , id, members] = line.split(':')
    if (name === undefined || id === undefined || name === '') return []
    return [{ name, id: Number(id), members: (members ?? '').split(',').filter(Boolean) }]
  })
}

/** The program that has a port open, as far as this user may see; null for none. */
async function userOf(device: string, { proc, locks }: SystemFolders): Promise<string | null> {
  for (const folder of locks) {
    const lock = await readFile(join(folder, `LCK..${device.split('/').at(-1)}`), 'utf8').catch(() => null)
    const pid = lock === null ? Number.NaN : Number.parseInt(lock, 10)
    const name = Number.isNaN(pid) ? null : await programName(proc, pid)
    // A lock whose program has ended was left behind.
    if (name !== null) return name
  }
  const pids = (await readdir(proc).catch(() => [])).map(Number).filter(Number.isInteger)
  for (const pid of pids) {
    const folder = join(proc, String(pid), 'fd')
    const open = await readdir(folder).catch(() => [])
    const targets = await Promise.all(open.map((one) => readlink(join(folder, one)).catch(() => null)))
    if (targets.includes(device)) return await programName(proc, pid)
  }
  return null
}

async function programName(proc: string, pid: number): Promise<string | null> {
  const name = await readFile(join(proc, String(pid), 'comm'), 'utf8').catch(() => null)
  return name === null ? null : `${name.trim()} (process ${pid})`
}
