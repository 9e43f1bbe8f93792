import { mkdir, mkdtemp, rm, symlink, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { listPorts } from '../../../src/ingest/index.js'
import { listDeviceFiles } from '../../../src/ingest/port/list-ports.js'

test('listDeviceFiles(folder) finds adapters with the name that survives replugging', async () => {
  const folder = await mkdtemp(join(tmpdir(), 'dev-'))
  try {
    for (const name of ['ttyUSB0', 'ttyACM1', 'ttyS0', 'null']) await writeFile(join(folder, name), '')
    await mkdir(join(folder, 'serial', 'by-id'), { recursive: true })
    await symlink('../../ttyUSB0', join(folder, 'serial', 'by-id', 'usb-adapter-if00'))
    expect(await listDeviceFiles(folder)).toEqual([
      { path: join(folder, 'ttyACM1'), description: '', stablePath: null },
      {
        path: join(folder, 'ttyUSB0'),
        description: 'usb-adapter-if00',
        stablePath: join(folder, 'serial', 'by-id', 'usb-adapter-if00'),
      },
    ])
    expect(await listDeviceFiles(join(folder, 'none'))).toEqual([])
  } finally {
    await rm(folder, { recursive: true })
  }
})

test('listPorts() survives a system without the service that knows the ports', async () => {
  const path = process.env.PATH
  process.env.PATH = ''
  try {
    expect(Array.isArray(await listPorts())).toBe(true)
  } finally {
    process.env.PATH = path
  }
})
