import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { openTerminal } from '../../harness/live/terminal.js'
import { letInBy } from '../../harness/page-api.js'
import { programOn, runProgram, temporaryFolder } from '../../harness/program.js'
import { rawRequest } from '../../harness/raw-request.js'
import { serveProgram } from '../../harness/serve-program.js'

/** How often it is looked whether a program has written its file, ms. */
const LOOK_EVERY_MS = 20

async function storeWithAxis(): Promise<string> {
  const path = join(temporaryFolder(), 'store.db')
  const tablepace = programOn(path)
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10', '--marks', '2,4')
  return path
}

describe('tablepace serve', () => {
  it('serves the page on this computer alone, beside other commands, until Ctrl-C', async () => {
    const store = await storeWithAxis()
    const serving = await serveProgram(store)
    expect(serving.url).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/#pair=[\w-]{22,}$/)
    expect(serving.pairingUrl).toBeNull()
    expect((await rawRequest(serving.url)).body).toContain('<title>tablepace</title>')
    // What the command line adds meanwhile is there at once.
    await programOn(store).json('machine', 'add', 'Second', '--units', 'mm')
    const start = { path: '/api/start', headers: letInBy(serving.url) }
    expect((await rawRequest(serving.url, start)).body).toContain('Second')
    // Another user of the same computer, who does not know the address, gets nothing.
    expect(await rawRequest(serving.url, { path: '/api/start' })).toMatchObject({ status: 401, body: '' })
    expect(await serving.stop()).toBe(0)
    await expect(rawRequest(serving.url)).rejects.toThrow(/ECONNREFUSED/)
  })

  it('opens to a named address with a pairing address, and says where it cannot', async () => {
    const store = await storeWithAxis()
    const serving = await serveProgram(store, '--host', '127.0.0.2')
    expect(serving.pairingUrl).toMatch(/^http:\/\/127\.0\.0\.2:\d+\/#pair=[\w-]{22,}$/)
    const taken = new URL(serving.url).port
    const failures = [
      [['--port', taken], 5, 'address-in-use'],
      [['--port', '0', '--host', '203.0.113.7'], 5, 'address-not-ours'],
      [['--port', '70000'], 2, 'bad-port'],
      [['--port', 'ten'], 2, 'bad-number'],
    ] as const
    for (const [args, code, name] of failures) {
      const { exitCode, stderr, stdout } = await runProgram(['--store', store, 'serve', '--json', ...args])
      expect(exitCode, stderr).toBe(code)
      expect(stdout).toBe('')
      expect(stderr).toContain(name)
    }
  })
})

describe('the browser', () => {
  it('is opened by a file that others cannot read, so that the secret is in no list of processes', async () => {
    const store = await storeWithAxis()
    const folder = temporaryFolder()
    const seen = join(folder, 'seen')
    // In the place of the system's opener: notes what it is started with, and what is behind it.
    writeFileSync(
      join(folder, 'xdg-open'),
      `#!/bin/sh\nfile=$(echo "$1" | sed 's#^file://##')\n{ echo "$1"; stat -c %a "$file"; cat "$file"; } > "${seen}.part"\nmv "${seen}.part" "${seen}"\n`,
      { mode: 0o755 },
    )
    const here = { VITEST: '', CI: '', SSH_CONNECTION: '', SSH_TTY: '', SSH_CLIENT: '', DISPLAY: ':99' }
    const env = { ...here, PATH: `${folder}:${process.env.PATH}` }
    const serving = openTerminal(['--store', store, 'serve', '--port', '0'], env)
    const url = await serving.waitFor(/http:\/\/127\.0\.0\.1:\d+\/#pair=[\w-]{22,}/)
    while (!existsSync(seen)) await sleep(LOOK_EVERY_MS)
    const [address = '', mode, page] = readFileSync(seen, 'utf8').split('\n')
    expect(address).toMatch(/^file:\/\/\/.*\.html$/)
    expect(mode).toBe('600')
    expect(page).toContain(`content="0;url=${url}"`)
    serving.type('\x03')
    expect(await serving.ended).toBe(0)
    expect(existsSync(fileURLToPath(address))).toBe(false)

    const alone = openTerminal(['--store', store, 'serve', '--port', '0', '--no-open'], env)
    rmSync(seen)
    await alone.waitFor(/is kept/)
    alone.type('\x03')
    expect(await alone.ended).toBe(0)
    expect(existsSync(seen)).toBe(false)
  })
})
