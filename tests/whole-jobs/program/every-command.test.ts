import { cpSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { buildProgram } from '../../../src/cli/program.js'
import { madeOnce } from '../../harness/made-once.js'
import { programOn, runProgram, startProgram, temporaryFolder } from '../../harness/program.js'

/**
 * A call of every command, in this order on one store. Those of `both` are made in a process of their own as well: one
 * of each way to print, to refuse and to end, of both programs of the build, with and without a store.
 */
const CALLS = `
both  machine show Bench
both  axis change X --travel 22in
here  traverse --dial 4 --distance 6in --time 30s --direction +
both  traverse --dial 44 --distance 6in --time 30s --direction +
both  calibrate --stopwatch
here  advise --feed 7in/min --within 1 --stopwatch
here  sheet
here  practice --show
here  runs
here  run finish
both  fit --reason oiled
here  table
both  tables --json
both  dial 7in/min
both  dial 70in/min
here  feed 3
both  cut --diameter 0.5in --teeth 4 --speed 100ft/min --chip-load 0.003in
here  cut-note good --diameter 0.5in --teeth 4 --material brass --cutter-material hss --rpm 620 --feed 5in/min
here  materials
here  stops
here  recheck --within 4 --plan
here  compare --by direction
here  explain 3
here  plot curve
both  export --to -  --format csv
both  import no-such-file.json
here  history
here  readout list
both  serve --readout-port /dev/null --port 99999
here  selfcheck
both  doctor
here  backup --to COPY
both  restore COPY
here  demo --procedure nonesuch
both  completion bash
here  complete dial --machine B
both  --version
both  --help
both  fit --frobnicate
both  frobnicate --json
`
  .trim()
  .split('\n')
  .map((line) => line.split(/ +/))
  .map(([where, ...args]) => ({ isMadeTwice: where === 'both', args }))

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
    const outcome = async (work: string, args: readonly string[], call: typeof runProgram) => {
      const placed = args.map((arg) => (arg === 'COPY' ? join(work, 'copy.db') : arg))
      const global = args.length === 1 && args[0]!.startsWith('--') ? [] : ['--store', join(work, 'store.db')]
      const { exitCode, stdout, stderr } = await call([...global, ...placed])
      return [exitCode, ...[stdout, stderr].map((text) => comparable(text.replaceAll(work, 'WORK')))]
    }
    for (const { isMadeTwice, args } of CALLS) {
      if (isMadeTwice) cpSync(here, there, { recursive: true })
      const [ofStanding, ofItsOwn] = await Promise.all([
        outcome(here, args, runProgram),
        isMadeTwice ? outcome(there, args, (all) => startProgram(all).ended) : null,
      ])
      if (isMadeTwice) expect(ofStanding, args.join(' ')).toEqual(ofItsOwn)
      rmSync(there, { recursive: true, force: true })
    }
    const called = new Set(CALLS.map(({ args: [command] }) => command))
    const commands = buildProgram().commands.map((command) => command.name())
    expect(commands.filter((command) => !called.has(command))).toEqual([])
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
