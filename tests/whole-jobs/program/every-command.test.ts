import { cpSync, mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { buildProgram } from '../../../src/cli/program.js'
import { madeOnce } from '../../harness/made-once.js'
import { programOn, runProgram, startProgram, temporaryFolder } from '../../harness/program.js'

/** A call of every command, in this order on one store. */
const CALLS = `
machine show Bench
axis change X --travel 22in
traverse --dial 4 --distance 6in --time 30s --direction +
traverse --dial 44 --distance 6in --time 30s --direction +
calibrate --stopwatch
advise --feed 7in/min --within 1 --stopwatch
sheet
practice --show
runs
run finish
fit --reason oiled
table
tables --json
dial 7in/min
dial 70in/min
feed 3
cut --diameter 0.5in --teeth 4 --speed 100ft/min --chip-load 0.003in
cut-note good --diameter 0.5in --teeth 4 --material brass --cutter-material hss --rpm 620 --feed 5in/min
materials
stops
recheck --within 4 --plan
compare --by direction
explain 3
plot curve
export --to -  --format csv
import no-such-file.json
history
readout list
serve --readout-port /dev/null --port 99999
selfcheck
doctor
backup --to COPY
restore COPY
demo --procedure nonesuch
completion bash
complete dial --machine B
--version
--help
fit --frobnicate
frobnicate --json
`
  .trim()
  .split('\n')
  .map((line) => line.split(/ +/))

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

const standing = (args: readonly string[]) => runProgram(args)
const onItsOwn = (args: readonly string[]) => startProgram(args).ended

describe('a call of the program in a process that stands by', () => {
  it('prints what a process of its own prints and ends with its exit code, whatever the command', async () => {
    const { folder } = await made()
    /** Every call in turn, on a copy of the store; the names of the places are as long as one another, as lines are. */
    const outcomes = async (place: string, call: typeof standing) => {
      const work = join(temporaryFolder(), place)
      mkdirSync(work)
      cpSync(join(folder, 'store.db'), join(work, 'store.db'))
      const all: unknown[] = []
      for (const args of CALLS) {
        const placed = args.map((arg) => (arg === 'COPY' ? join(work, 'copy.db') : arg))
        const global =
          args.length === 1 && args[0]!.startsWith('--') ? [] : ['--store', join(work, 'store.db')]
        const { exitCode, stdout, stderr } = await call([...global, ...placed])
        const [printed, said] = [stdout, stderr].map((text) => comparable(text.replaceAll(work, 'WORK')))
        all.push([args.join(' '), exitCode, printed, said])
      }
      return all
    }
    const [here, there] = await Promise.all([outcomes('work-a', standing), outcomes('work-b', onItsOwn)])
    expect(here).toEqual(there)
    const called = new Set(CALLS.map(([command]) => command))
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
