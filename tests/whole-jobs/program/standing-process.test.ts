import { cpSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { madeOnce } from '../../harness/made-once.js'
import { programOn, runProgram, startProgram, temporaryFolder } from '../../harness/program.js'

/** Calls of each way to print, to refuse and to end, of both programs of the build, with and without a store, in this order. */
const CALLS = `
machine show Bench
traverse --dial 44 --distance 6in --time 30s --direction +
calibrate --stopwatch
fit --reason oiled
tables --json
dial 7in/min
dial 70in/min
cut --diameter 0.5in --teeth 4 --speed 100ft/min --chip-load 0.003in
export --to - --format csv
import no-such-file.json
serve --readout-port /dev/null --port 99999
doctor
--version
--help
fit --frobnicate
frobnicate --json
`
  .trim()
  .split('\n')
  .map((line) => line.split(' '))

const made = madeOnce(async (folder) => {
  const { json } = programOn(join(folder, 'store.db'))
  await json('machine', 'add', 'Bench', '--units', 'in', '--spindle', '110,190,310,620')
  await json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10', '--marks', '2,4,6,8')
  const rows = [2, 4, 6, 8].flatMap((dial) => [60.2, 59.9].map((time) => `${dial},+,${2 * dial},${time}`))
  writeFileSync(join(folder, 'sheet.csv'), ['dial,direction,distance,time', ...rows, ''].join('\n'))
  await json('traverse', '--from', join(folder, 'sheet.csv'))
  await json('fit')
})

/** Dates, ids and hashes differ from call to call, and so does what is measured of this machine. */
function comparable(text: string): string {
  return text
    .replace(/\d{4}-\d\d-\d\d(?:[T -]?[\d:.]+Z?)?/g, 'DATE')
    .replace(/\b[0-9A-HJKMNP-TV-Z]{26}\b/g, 'ID')
    .replace(/(?<=^| run | drop | keep )[0-9A-HJKMNP-TV-Z]{6}(?= )/gm, 'ID')
    .replace(/\b[0-9a-f]{8,64}\b/g, 'HASH')
    .replace(/^(?:ok|look|bad) +(?:clock|space).*\n(?: +.*\n)*/gm, '')
}

describe('a call of the program in a process that stands by', () => {
  it('prints what a process of its own prints and ends with its exit code, however it prints and ends', async () => {
    // The names of the places are as long as one another, as lines are.
    const [here, there] = ['work-a', 'work-b'].map((place) => join(temporaryFolder(), place)) as [
      string,
      string,
    ]
    cpSync((await made()).folder, here, { recursive: true })
    cpSync(here, there, { recursive: true })
    const outcome = async (work: string, args: readonly string[], call: typeof runProgram) => {
      const global = args.length === 1 && args[0]!.startsWith('--') ? [] : ['--store', join(work, 'store.db')]
      const { exitCode, stdout, stderr } = await call([...global, ...args])
      return [exitCode, ...[stdout, stderr].map((text) => comparable(text.replaceAll(work, 'WORK')))]
    }
    for (const args of CALLS) {
      const [ofStanding, ofItsOwn] = await Promise.all([
        outcome(here, args, runProgram),
        outcome(there, args, (all) => startProgram(all).ended),
      ])
      expect(ofStanding, args.join(' ')).toEqual(ofItsOwn)
    }
  })

  it('leaves nothing of its environment to the next, and gives way to a process of its own while it is at work', async () => {
    const home = temporaryFolder()
    const store = join(home, 'elsewhere.db')
    const add = ['machine', 'add', 'Bench', '--units', 'in']
    expect((await runProgram(add, { env: { TABLEPACE_STORE: store } })).exitCode).toBe(0)
    const env = { HOME: home, XDG_DATA_HOME: join(home, 'data') }
    expect((await runProgram(['machine', 'list'], { env })).stdout).not.toContain('Bench')
    const both = await Promise.all(
      ['a', 'b'].map((name) => runProgram(['--store', join(home, `${name}.db`), ...add])),
    )
    expect(both.map(({ exitCode, stderr }) => [exitCode, stderr])).toEqual([
      [0, ''],
      [0, ''],
    ])
  })
})
