import { chownSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir, userInfo } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { groupAdvice, portAccess } from '../../../src/ingest/port/port-access.js'

/** A small system in a folder: devices, groups, running programs and lock files. */
let root = ''
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'system-'))
  for (const folder of ['dev', 'etc', 'proc', 'locks']) mkdirSync(join(root, folder))
  writeFileSync(join(root, 'dev', 'ttyUSB0'), '')
})
afterEach(() => rmSync(root, { recursive: true }))

const device = () => join(root, 'dev', 'ttyUSB0')
const folders = () => ({ etc: join(root, 'etc'), proc: join(root, 'proc'), locks: [join(root, 'locks')] })

function program(pid: number, name: string, opens: readonly string[]): void {
  mkdirSync(join(root, 'proc', String(pid), 'fd'), { recursive: true })
  writeFileSync(join(root, 'proc', String(pid), 'comm'), `${name}\n`)
  for (const [i, path] of opens.entries()) symlinkSync(path, join(root, 'proc', String(pid), 'fd', String(i)))
}

describe.runIf(process.platform === 'linux')('portAccess(path)', () => {
  test('says that a port is free', async () => {
    program(71, 'editor', ['/dev/null'])
    expect(await portAccess(device(), folders())).toEqual({ access: 'free', advice: null })
  })

  test('names the program that has it open, by the device file behind its stable name', async () => {
    program(72, 'logger', ['/dev/null', device()])
    const stable = join(root, 'dev', 'by-id')
    symlinkSync(device(), stable)
    expect(await portAccess(stable, folders())).toEqual({
      access: 'busy',
      advice: 'In use by logger (process 72): close that program.',
    })
  })

  test('believes a lock file whose program runs, and no other', async () => {
    writeFileSync(join(root, 'locks', 'LCK..ttyUSB0'), '        73\n')
    expect((await portAccess(device(), folders())).access).toBe('free')
    program(73, 'terminal', [])
    expect(await portAccess(device(), folders())).toMatchObject({
      access: 'busy',
      advice: expect.stringContaining('terminal (process 73)'),
    })
  })

  test('does not judge a port that was unplugged meanwhile', async () => {
    expect(await portAccess(join(root, 'dev', 'ttyUSB7'), folders())).toEqual({
      access: 'unknown',
      advice: null,
    })
  })
})

describe('groupAdvice(device)', () => {
  const me = userInfo().username

  test('names the usual group where the owner tells none', async () => {
    writeFileSync(join(root, 'etc', 'group'), 'root:x:0:\ndialout:x:20:somebody\n')
    expect(await groupAdvice(join(root, 'dev', 'none'), folders())).toBe(
      'It belongs to the group dialout: add yourself to that group and log in again.',
    )
  })

  test.runIf(process.getuid?.() === 0)('names the group that owns the device', async () => {
    writeFileSync(join(root, 'etc', 'group'), 'dialout:x:20:\nuucp:x:10:\nlathe:x:4711:\n')
    chownSync(device(), 0, 4711)
    expect(await groupAdvice(device(), folders())).toContain('the group lathe')
  })

  test('says that a membership counts from the next login on', async () => {
    writeFileSync(join(root, 'etc', 'group'), `uucp:x:10:somebody,${me}\n`)
    expect(await groupAdvice(join(root, 'dev', 'none'), folders())).toBe(
      'You are in the group uucp by now, but not in this session: log out and in again.',
    )
  })

  test('helps where the groups cannot be read', async () => {
    expect(await groupAdvice(join(root, 'dev', 'none'), folders())).toMatch(/dialout or uucp/)
  })
})
