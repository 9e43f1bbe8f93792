import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { readoutForTest } from '../../harness/live/pty-readout.js'
import { openTerminal } from '../../harness/live/terminal.js'
import { programOn, temporaryFolder } from '../../harness/program.js'

async function mill() {
  const store = join(temporaryFolder(), 'store.db')
  const tablepace = programOn(store)
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10', '--marks', '4,8')
  return { store, ...tablepace }
}

describe('cautions where a person acts', () => {
  it('are those of a cut before a live run under load, and nothing moves before they are agreed to', async () => {
    const { store, json } = await mill()
    const device = readoutForTest()
    const traverse = ['--store', store, 'traverse', '--dial', '8', '--port', device.path]
    const cutting = openTerminal([...traverse, '--tag', 'load=cutting'])
    await cutting.waitFor(/Before the table moves while cutting/)
    await cutting.waitFor(/No gloves/)
    await cutting.waitFor(/climb milling/)
    await cutting.waitFor(/All clear\?/)
    cutting.type('n\r')
    expect(await cutting.ended).toBe(2)
    expect(cutting.screen()).not.toMatch(/Spindle off|nothing turning/)
    const free = openTerminal(traverse)
    await free.waitFor(/Spindle off/)
    await free.waitFor(/All clear\?/)
    free.type('n\r')
    expect(await free.ended).toBe(2)
    expect((await json<{ runs: unknown[] }>('runs')).runs).toEqual([])
  })

  it('have to be confirmed before a guided session: without a terminal by --yes', async () => {
    const { run, store } = await mill()
    const device = readoutForTest()
    const { exitCode, stdout, stderr } = await run('calibrate', '--port', device.path, '--json')
    expect([exitCode, stdout]).toEqual([2, ''])
    expect(stderr).toMatch(/Spindle off/)
    const { error } = JSON.parse(stderr.trim().split('\n').at(-1)!) as {
      error: { code: string; hint: string }
    }
    expect(error.code).toBe('cautions-unread')
    expect(error.hint).toMatch(/--yes/)
    // No session was begun, so nothing is gone on with later.
    const later = openTerminal(['--store', store, 'calibrate', '--port', device.path])
    await later.waitFor(/All clear\?/)
    later.type('n\r')
    expect(await later.ended).toBe(2)
    expect(later.screen()).not.toMatch(/Carrying on with/)
  })

  it('stand before the axis is moved by hand for a readout nobody described', async () => {
    const { run } = await mill()
    const device = readoutForTest()
    const lines = setInterval(() => device.write('X+1.0000\r\n'), 20)
    const { stderr } = await run('readout', 'learn', '--port', device.path, '--baud', '9600', '--label', 'X')
    clearInterval(lines)
    expect(stderr).toMatch(
      /^Before you move the axis\n {2}- Spindle off and power feed out[\s\S]*Listening on/,
    )
  })
})

describe('what a feed was measured under', () => {
  it('stands at every lookup, table and export', async () => {
    const { run, json } = await mill()
    const sheet = ['4', '8'].flatMap((dial) =>
      [58, 60, 59].map((time) => ['traverse', '--dial', dial, '--distance', '6in', '--time', `${time}s`]),
    )
    for (const entry of sheet) await json(...entry, '--direction', '+')
    await json('fit')
    for (const asked of [['feed', '4'], ['dial', '6.1in/min'], ['explain', '4'], ['table']]) {
      expect((await run(...asked)).stdout, asked[0]).toMatch(/Measured without a cut: under load/)
      expect(await json(...asked), asked[0]).toMatchObject({ measured: 'without a cut' })
    }
    for (const format of ['csv', 'json', 'markdown', 'card']) {
      const { stdout } = await run('export', '--format', format, '--to', '-')
      expect(stdout, format).toMatch(/without a cut/)
    }
    const document = JSON.parse((await run('export', '--format', 'json', '--to', '-')).stdout) as {
      tables: { measured: string }[]
    }
    expect(document.tables.map(({ measured }) => measured)).toEqual(['without a cut'])
  })
})
