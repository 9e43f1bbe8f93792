import { spawnSync } from 'node:child_process'
import { chmodSync, mkdirSync, symlinkSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { judgeClocks } from '../../../src/jobs/care/doctor-clock.js'
import { checkPorts } from '../../../src/jobs/care/doctor-ports.js'
import { checkSpace } from '../../../src/jobs/care/doctor-space.js'
import { checkStore } from '../../../src/jobs/care/doctor-store.js'
import { temporaryFolder } from '../../harness/program.js'

const EXT4 = 0xef53
const NFS = 0x6969

describe('checkSpace(storePath, disk)', () => {
  it.each([
    [500e6, 'ok'],
    [100e6, 'look'],
    [5e6, 'bad'],
  ] as const)('%d free bytes are %s', (freeBytes, state) => {
    expect(checkSpace('/x/store.db', { kind: EXT4, freeBytes }).map((one) => one.state)).toEqual([state])
  })

  it('warns of a network drive', () => {
    const findings = checkSpace('/x/store.db', { kind: NFS, freeBytes: 500e6 })
    expect(findings[1]).toMatchObject({ state: 'look' })
    expect(findings[1]!.finding).toContain('NFS')
  })

  it('asks the real disk of a folder that is not there yet', () => {
    expect(checkSpace(join(temporaryFolder(), 'a', 'b', 'store.db'))[0]!.finding).toMatch(/\d+ MB|GB/)
  })
})

describe('judgeClocks(readings)', () => {
  const sound = { wallMs: Date.UTC(2026, 10, 1), drift: 0, heldUpMs: 2 }
  it('takes sound clocks', () => expect(judgeClocks(sound)).toMatchObject([{ state: 'ok' }]))
  it.each([
    [{ wallMs: 0 }, /1970-01-01/],
    [{ drift: 3 }, /jumped by 3\.00 s/],
    [{ heldUpMs: 180 }, /180 ms/],
  ])('tells of %o', (reading, says) => {
    const findings = judgeClocks({ ...sound, ...reading })
    expect(findings).toMatchObject([{ state: 'look' }])
    expect(findings[0]!.finding).toMatch(says)
    expect(findings[0]!.wayOut).not.toBeNull()
  })
})

describe.skipIf(process.platform === 'win32')('checkPorts(ports, systemFolder)', () => {
  function adapter(latency: string | null) {
    const folder = temporaryFolder()
    const path = join(folder, 'ttyUSB7')
    writeFileSync(path, '')
    const devices = join(folder, 'bus/usb-serial/devices/ttyUSB7')
    mkdirSync(devices, { recursive: true })
    if (latency !== null) writeFileSync(join(devices, 'latency_timer'), latency)
    return { folder, path, port: { path, description: '', stablePath: null } }
  }

  it.each([
    ['16\n', 'look'],
    ['1\n', 'ok'],
    [null, 'ok'],
  ] as const)('a latency timer of %j is %s', async (latency, state) => {
    const { folder, port } = adapter(latency)
    const findings = await checkPorts([port], folder)
    expect(findings.map((one) => one.state)).toEqual([state])
    if (state === 'look') expect(findings[0]!.wayOut).toMatch(/latency_timer.*udev/)
  })

  it('finds the timer behind a link that names the adapter', async () => {
    const { folder, path, port } = adapter('16')
    const link = join(folder, 'by-id-of-it')
    symlinkSync(path, link)
    expect((await checkPorts([{ ...port, path: link }], folder))[0]!.finding).toContain('16 ms')
  })

  it.skipIf(process.getuid?.() === 0)('a port without rights is bad', async () => {
    const { folder, path, port } = adapter(null)
    chmodSync(path, 0)
    expect(await checkPorts([port], folder)).toMatchObject([{ state: 'bad' }])
  })

  it('a port that is gone is bad, and no port at all worth a look', async () => {
    const gone = { path: '/dev/ttyNOWHERE', description: '', stablePath: null }
    expect(await checkPorts([gone])).toMatchObject([{ state: 'bad' }])
    expect(await checkPorts([])).toMatchObject([{ state: 'look' }])
  })
})

describe('checkStore(path)', () => {
  it('takes a store that is not there yet, and tells what is wrong with one that is none', () => {
    const path = join(temporaryFolder(), 'store.db')
    expect(checkStore(path)).toMatchObject([{ state: 'ok' }])
    writeFileSync(path, 'plain text, and long enough to hold a header of some kind or other')
    expect(checkStore(path)).toMatchObject([{ state: 'bad' }])
  })

  it('names what is left of a program that was ended while it made the store, and not what is being made', () => {
    const path = join(temporaryFolder(), 'store.db')
    const { pid } = spawnSync(process.execPath, ['--version'])
    for (const name of [`begun-${pid}`, `begun-${process.pid}`, 'begun-x', 'old'])
      writeFileSync(`${path}.${name}`, '')
    const findings = checkStore(path).filter(({ finding }) => finding.includes('.begun-'))
    expect(findings).toMatchObject([{ state: 'look', wayOut: expect.stringMatching(/Delete that file/) }])
    expect(findings[0]!.finding).toContain(`${path}.begun-${pid} is left from`)
  })
})
