import { spawnSync } from 'node:child_process'
import { chmodSync, mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { join, sep } from 'node:path'
import Database from 'better-sqlite3'
import { describe, expect, it } from 'vitest'
import { madeOnce } from '../../harness/made-once.js'
import { type ProgramResult, programOn, runProgram, temporaryFolder } from '../../harness/program.js'
import { recordRun } from '../../harness/simulated-recordings.js'
import { mayMount, onSmallDisk } from '../../harness/small-disk.js'

/** One sentence and a hint on stderr, nothing else; the same as JSON. */
async function expectRefusal(
  call: (...args: string[]) => Promise<ProgramResult>,
  args: readonly string[],
  expected: { readonly exitCode: number; readonly code: string; readonly names?: RegExp },
): Promise<void> {
  expectSaid(await call(...args), await call(...args, '--json'), expected)
}

function expectSaid(
  plain: ProgramResult,
  json: ProgramResult,
  expected: { readonly exitCode: number; readonly code: string; readonly names?: RegExp },
): void {
  expect(plain.exitCode, plain.stderr).toBe(expected.exitCode)
  expect(plain.stderr).not.toMatch(/\n\s+at /)
  expect(plain.stderr.trim()).not.toBe('')
  if (expected.names) expect(plain.stderr).toMatch(expected.names)
  const { error } = JSON.parse(json.stderr.trim().split('\n').at(-1)!) as {
    error: { code: string; message: string; hint: string }
  }
  expect(error.code).toBe(expected.code)
  expect(error.message).toMatch(/\.$/)
  expect(error.hint).not.toBe('')
}

const bench = madeOnce(async (folder) => {
  const { json } = programOn(join(folder, 'store.db'))
  await json('machine', 'add', 'Bench', '--units', 'in')
  await json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10', '--marks', '1,2,3')
})

async function benchMill(): Promise<{ folder: string; run: (...args: string[]) => Promise<ProgramResult> }> {
  const { folder } = await bench()
  return { folder, run: programOn(join(folder, 'store.db')).run }
}

describe('wrong use ends with exit code 2', () => {
  it.each([
    ['an unknown command', ['frobnicate'], 'bad-usage'],
    ['an unknown option', ['fit', '--frobnicate'], 'bad-usage'],
    ['a fit from runs that are not there', ['fit', '--runs', 'A,B'], 'unknown-run'],
    ['an unknown machine', ['table', '--machine', 'Nobody'], 'unknown-machine'],
    ['an unknown axis', ['table', '--axis', 'Q'], 'unknown-axis'],
    ['a duplicate machine', ['machine', 'add', 'Bench', '--units', 'mm'], 'duplicate-machine'],
    ['units that are none', ['machine', 'add', 'Other', '--units', 'cubit'], 'bad-usage'],
    ['an unreadable feed', ['dial', 'fast'], 'bad-number'],
    ['a unit of another kind', ['dial', '7mm'], 'bad-unit'],
    ['a comma of two meanings', ['dial', '1,200in/min'], 'bad-number'],
    [
      'a dial outside its range',
      ['traverse', '--dial', '11', '--distance', '6in', '--time', '9s', '--direction', '+'],
      'dial-outside-range',
    ],
    [
      'negative distance',
      ['traverse', '--dial', '1', '--distance', '-6in', '--time', '9s', '--direction', '+'],
      'bad-stopwatch-entry',
    ],
    [
      'zero time',
      ['traverse', '--dial', '1', '--distance', '6in', '--time', '0s', '--direction', '+'],
      'bad-stopwatch-entry',
    ],
    ['no source of runs', ['traverse', '--dial', '1'], 'no-source'],
    [
      'a direction that is none',
      ['traverse', '--dial', '1', '--distance', '6in', '--time', '9s', '--direction', 'up'],
      'bad-direction',
    ],
    [
      'a readout profile that is not there',
      ['traverse', '--dial', '1', '--from', 'x.jsonl', '--readout', 'nope'],
      'unknown-profile',
    ],
  ])('%s', async (_, args, code) => {
    const { run } = await benchMill()
    await expectRefusal(run, args, { exitCode: 2, code })
  })

  it('says in our words what is missing or misspelt, and names the help of the command', async () => {
    const { run } = await benchMill()
    expect((await run('fit', '--reson', 'x')).stderr).toBe(
      "tablepace: Unknown option '--reson'; perhaps --reason was meant.\n  `tablepace fit --help` tells how it is used, with examples.\n",
    )
    expect((await run('machine', 'add', 'Other')).stderr).toBe(
      'tablepace: --units <unit> is missing.\n  `tablepace machine add --help` tells how it is used, with examples.\n',
    )
    expect((await run('dial')).stderr).toMatch(/^tablepace: No feed was given\.\n/)
    expect((await run('history', 'all')).stderr).toMatch(
      /^tablepace: Too many words were given to history, which takes none besides its options\.\n/,
    )
    expect((await run('fit', '--reason')).stderr).toMatch(
      /^tablepace: --reason <\w+> was given without a value\.\n/,
    )
    expect(
      (await run('cut', '--diameter', '0.5in', '--teeth', '4', '--cutter-material', 'bronze')).stderr,
    ).toMatch(/^tablepace: --cutter-material: "bronze" is none of hss, carbide\.\n/)
  })

  it('names the machines there are', async () => {
    const { run } = await benchMill()
    expect((await run('table', '--machine', 'Nobody')).stderr).toContain('Bench')
  })
})

/** Whether any user may read the program here: a checkout in the home of root is closed to others. */
function isOpenToOthers(): boolean {
  const places = process.cwd().split(sep)
  return places.every(
    (_, last) => (statSync(places.slice(0, last + 1).join(sep) || sep).mode & 0o005) === 0o005,
  )
}

describe.skipIf(process.platform === 'win32' || !isOpenToOthers())('doctor', () => {
  it.each([
    ['the file', 'store.db', 0o444],
    ['its folder', '.', 0o555],
  ])('says that a sound store cannot be written to where %s may only be read', async (_, part, mode) => {
    const { folder } = await bench()
    chmodSync(join(folder, '..'), 0o755)
    chmodSync(folder, 0o777)
    chmodSync(join(folder, 'store.db'), 0o644)
    chmodSync(join(folder, part), mode)
    // Root may write whatever the rights say; 65534 is `nobody` on most systems.
    const { status, stdout } = spawnSync(
      process.execPath,
      ['dist/tablepace.js', 'doctor', '--json', '--store', join(folder, 'store.db')],
      {
        encoding: 'utf8',
        // A store in a folder that may not be written is read from a copy among the temporary files.
        env: { ...process.env, TMPDIR: '/tmp' },
        ...(process.getuid?.() === 0 ? { uid: 65534, gid: 65534 } : {}),
      },
    )
    chmodSync(folder, 0o755)
    const { findings } = JSON.parse(stdout) as { findings: { finding: string; wayOut: string }[] }
    expect(findings[0]!.finding).toMatch(/is sound\.$/)
    expect(findings[1]!.finding).toMatch(
      /is read-only\. Feeds can be looked up, but no run and no table can be stored\.$/,
    )
    expect(findings[1]!.wayOut).toMatch(/^Allow writing to the file and its folder/)
    expect(status).toBe(5)
  })
})

describe('data that cannot give the answer end with exit code 1', () => {
  it.each([
    ['a fit without runs', ['fit'], 'too-few-runs'],
    ['a new table before any recheck', ['recheck', '--adopt'], 'nothing-offered'],
    ['a lookup without a table', ['dial', '7in/min'], 'no-table'],
  ])('%s', async (_, args, code) => {
    const { run } = await benchMill()
    await expectRefusal(run, args, { exitCode: 1, code })
  })

  it('why a single run was refused is said once', async () => {
    const { run } = await benchMill()
    const entry = ['--dial', '1', '--distance', '30in', '--time', '60s', '--direction', '+', '--no-save']
    const { exitCode, stdout, stderr } = await run('traverse', ...entry)
    expect(exitCode).toBe(1)
    expect(`${stdout}${stderr}`.replace(/\s+/g, ' ').match(/30 in is more than the 20 in/g)).toHaveLength(1)
    expect(stderr).toContain('Nothing was stored.')
  })

  it('why the single entry of a recheck was refused is said once', async () => {
    const { folder, run } = await benchMill()
    const sheet = join(folder, 'refused.csv')
    writeFileSync(sheet, 'dial,direction,distance,time\n1,+,30,60\n')
    const { exitCode, stderr } = await run('recheck', '--within', '3', '--reason', 'belt', '--from', sheet)
    expect(exitCode).toBe(1)
    expect(stderr.replace(/\s+/g, ' ').match(/30 in is more than the 20 in/g)).toHaveLength(1)
  })

  it('a feed outside the measured range, and a feed of 0, name the range', async () => {
    const { folder, run } = await benchMill()
    const sheet = join(folder, 'sheet.csv')
    writeFileSync(
      sheet,
      `dial,direction,distance,time\n${[1, 2, 3].flatMap((dial) => [30, 30.2].map((time) => `${dial},+,${2 * dial},${time}`)).join('\n')}\n`,
    )
    await run('traverse', '--from', sheet)
    await run('fit')
    for (const feed of ['40in/min', '0in/min', '0.5in/min']) {
      await expectRefusal(run, ['dial', feed], {
        exitCode: 1,
        code: 'feed-out-of-range',
        names: /3\.987 to 11\.96 in\/min/,
      })
    }
    await expectRefusal(run, ['feed', '9'], { exitCode: 1, code: 'dial-out-of-range' })
  })

  it.each([
    ['an empty file', 'empty.jsonl', '', 'file-empty'],
    ['a binary file', 'binary.csv', 't,position\0\u0001\u0002', 'file-not-text'],
    ['a CSV with another header', 'other.csv', 'a,b\n1,2\n', 'unknown-header'],
    ['a header alone', 'bare.csv', 't,position\n', 'no-usable-lines'],
    ['text that is no recording', 'prose.jsonl', '{"once":"upon"}\n{"a":"time"}\n', 'no-usable-lines'],
    [
      'a negative distance in a sheet',
      'sheet.csv',
      'dial,direction,distance,time\n1,+,-6,30\n',
      'bad-stopwatch-entry',
    ],
    ['zero time in a sheet', 'zero.csv', 'dial,direction,distance,time\n1,+,6,0\n', 'bad-stopwatch-entry'],
  ])('%s', async (_, name, content, code) => {
    const { folder, run } = await benchMill()
    writeFileSync(join(folder, name), content)
    await expectRefusal(run, ['traverse', '--dial', '1', '--from', join(folder, name)], { exitCode: 1, code })
    expect((await run('runs')).stderr, 'nothing is left to finish').toBe('')
  })

  it('NaN, infinite numbers and time going backward are counted and left out, not believed', async () => {
    const { folder, run } = await benchMill()
    const { path } = recordRun(folder, { dial: 5, direction: 1, seed: 3 })
    const lines = readFileSync(path, 'utf8').trimEnd().split('\n')
    const middle = Math.floor(lines.length / 2)
    lines.splice(
      middle,
      0,
      '{"t":9,"line":"X+NaN"}',
      '{"t":9.01,"line":"X+Infinity"}',
      '{"t":1,"line":"X+001.0000"}',
    )
    writeFileSync(path, `${lines.join('\n')}\n`)
    const result = await run('traverse', '--dial', '5', '--from', path, '--json')
    const { runs } = JSON.parse(result.stdout) as {
      runs: { accepted: boolean; samples: { rejected: Record<string, number> } }[]
    }
    expect(runs[0]!.accepted).toBe(true)
    expect(runs[0]!.samples.rejected).toMatchObject({ 'not-finite': 2, 'time-backward': 1 })
  })

  it('a table that never moved says so and keeps the raw lines', async () => {
    const { folder, run } = await benchMill()
    const path = join(folder, 'still.jsonl')
    writeFileSync(
      path,
      Array.from({ length: 100 }, (_, i) => `{"t":${i / 10},"line":"X+001.0000"}\n`).join(''),
    )
    await expectRefusal(run, ['traverse', '--dial', '1', '--from', path], {
      exitCode: 1,
      code: 'no-motion',
      names: /kept/,
    })
  })
})

/** A store with its first table's page overwritten, header intact. */
function spoiled(path: string): Buffer {
  const database = new Database(path)
  database.pragma('wal_checkpoint(TRUNCATE)')
  database.close()
  const bytes = readFileSync(path)
  bytes.fill(0xa5, 100, 8192)
  return bytes
}

describe('devices, files and stores that fail end with exit code 5', () => {
  it('a port that is not there', async () => {
    const { run } = await benchMill()
    await expectRefusal(run, ['traverse', '--dial', '1', '--port', '/dev/ttyNOWHERE'], {
      exitCode: 5,
      code: 'port-not-found',
      names: /ttyNOWHERE/,
    })
  })

  it('a file that is not there, and a folder as a file', async () => {
    const { folder, run } = await benchMill()
    await expectRefusal(run, ['traverse', '--dial', '1', '--from', join(folder, 'none.jsonl')], {
      exitCode: 5,
      code: 'file-not-found',
    })
    await expectRefusal(run, ['traverse', '--dial', '1', '--from', folder], {
      exitCode: 5,
      code: 'file-is-folder',
    })
  })

  it('a store that is a folder, corrupt, foreign, newer', async () => {
    const { folder, run } = await benchMill()
    const on =
      (path: string) =>
      (...args: string[]) =>
        runProgram(['--store', path, ...args])
    await expectRefusal(on(folder), ['machine', 'list'], { exitCode: 5, code: 'store-unreachable' })
    const corrupt = join(folder, 'corrupt.db')
    await run('machine', 'list')
    writeFileSync(corrupt, spoiled(join(folder, 'store.db')))
    await expectRefusal(on(corrupt), ['machine', 'list'], { exitCode: 5, code: 'store-damaged' })
    const foreign = join(folder, 'foreign.db')
    new Database(foreign).exec('CREATE TABLE birds (name TEXT)').close()
    await expectRefusal(on(foreign), ['machine', 'list'], { exitCode: 5, code: 'store-foreign' })
    await run('machine', 'list')
    const newer = join(folder, 'store.db')
    const database = new Database(newer)
    database.pragma('user_version = 9999')
    database.close()
    await expectRefusal(on(newer), ['machine', 'list'], { exitCode: 5, code: 'store-newer' })
  })

  it('a store that another program is writing to', async () => {
    const { folder, run } = await benchMill()
    const other = new Database(join(folder, 'store.db'))
    other.exec('BEGIN IMMEDIATE')
    // Each waits for the store, so both at once.
    const args = ['machine', 'add', 'Second', '--units', 'mm']
    const [plain, json] = await Promise.all([run(...args), run(...args, '--json')])
    expectSaid(plain, json, { exitCode: 5, code: 'store-locked' })
    other.exec('ROLLBACK')
    other.close()
  })

  it.skipIf(!mayMount())('a full disk: nothing half-written, and what was stored stays', async () => {
    await onSmallDisk('1m', async (disk) => {
      const { run, json } = programOn(join(disk, 'store.db'))
      await json('machine', 'add', 'Bench', '--units', 'in')
      await json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10')
      const path = join(temporaryFolder(), 'long.jsonl')
      const lines = Array.from(
        { length: 60_000 },
        (_, i) => `{"t":${i / 50},"line":"X+${(i / 1e4).toFixed(4)}"}`,
      )
      writeFileSync(path, lines.join('\n'))
      await expectRefusal(run, ['traverse', '--dial', '3', '--from', path], {
        exitCode: 5,
        code: 'store-full',
      })
      expect((await run('machine', 'list')).stdout).toContain('Bench')
      // Not a byte is left, so that nothing can even begin to be written.
      expect(() => writeFileSync(join(disk, 'rest'), Buffer.alloc(2 ** 20))).toThrow(/ENOSPC/)
      await expectRefusal(run, ['machine', 'add', 'Other', '--units', 'in'], {
        exitCode: 5,
        code: 'store-full',
      })
    })
  })

  it.skipIf(process.getuid?.() === 0)('a store in a folder that may not be written', async () => {
    const folder = temporaryFolder()
    const closed = join(folder, 'closed')
    mkdirSync(closed)
    chmodSync(closed, 0o500)
    await expectRefusal(
      (...args) => runProgram(['--store', join(closed, 'store.db'), ...args]),
      ['machine', 'add', 'A', '--units', 'in'],
      { exitCode: 5, code: 'store-unreachable' },
    )
  })
})
