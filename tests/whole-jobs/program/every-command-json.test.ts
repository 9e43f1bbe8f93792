import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Command } from 'commander'
import { describe, expect, it } from 'vitest'
import { buildProgram } from '../../../src/cli/program.js'
import { madeOnce } from '../../harness/made-once.js'
import { programOn, runProgram } from '../../harness/program.js'

/** Calls that come to something, in this order on one store. */
const GOOD = `
machine add Other --units mm
machine list
machine show Bench
machine change Bench --motor 1hp
machine remove Other
machine restore Other
axis add Z --machine Bench --travel 5in --dial 0..10
axis list
axis show X
axis change X --plus left --minus right
axis remove Z --machine Bench
axis restore Z --machine Bench
traverse --axis X --dial 4 --distance 4in --time 60s --direction +
runs --axis X
run show LAST --axis X
run drop LAST --reason slipped --axis X
run keep LAST --axis X
run finish --axis X
sheet --axis X
sheet --axis X --to FOLDER/blank.csv
fit --axis X
table --axis X
tables --axis X
dial 7in/min --axis X
feed 3 --axis X
cut --axis X --diameter 0.5in --teeth 4 --material brass --cutter-material hss
cut-note good --machine Bench --diameter 0.5in --teeth 4 --material brass --cutter-material hss --rpm 620 --feed 5in/min
materials
advise --axis X --feed 7in/min --within 6 --stopwatch
advise --axis X --within 2
recheck --axis X --within 4 --plan
recheck --axis X --within 9 --reason oil --from FOLDER/again.csv
compare --axis X --by oil=old,new
explain 4 --axis X
plot curve --axis X
plot curve --axis X --to FOLDER/curve.svg
traverse --axis X --from 4=fixtures/tour/dial-4-plus.jsonl
plot run LAST --axis X
export --axis X --to FOLDER/table.json
export --axis X --to - --format csv
export --axis X --to - --format json
export --axis X --to - --format xlsx
import FOLDER/table.json
history --axis X --machine Bench
readout profiles
readout ports
selfcheck --cases fixtures/references/gum.json
doctor
backup --to FOLDER/copy.db
restore FOLDER/copy.db
completion bash
complete --partial B -- dial --machine
--version
`
/** Calls that come to nothing, each for a reason of its own. */
const BAD = `
machine show Nobody
axis add Y --machine Bench --travel far --dial 0..10
traverse --axis X --dial 44 --distance 6in --time 30s --direction +
traverse --axis X --from no-such-file.csv
calibrate --axis X --stopwatch
dial 700in/min --axis X
feed 3 --axis Z
cut --axis X --diameter 12 --teeth 4 --material brass --cutter-material hss
cut-note good --machine Bench --diameter 0.5in --material brass --cutter-material hss --rpm 620 --feed 5
materials cheese
stops --axis Z --machine Bench
practice
run show 0
export --axis X --to FOLDER/table.json
import no-such-file.json
plot curve --axis Z
recheck --axis X --within 4
readout learn
readout watch --axis X --port /dev/null
serve --port 99999
selfcheck --cases no-such-folder
restore no-such-file.db
demo --procedure nonesuch
completion fishy
frobnicate
`

/** Commands that need coasts, a port, a person or a browser, or take long, to come to something; their own tests read that. */
const MEASURED_ELSEWHERE = [
  'calibrate',
  'practice',
  'readout learn',
  'readout watch',
  'serve',
  'demo',
  'stops',
]

const calls = (text: string) =>
  text
    .trim()
    .split('\n')
    .map((line) => line.split(/ +/))

const made = madeOnce(async (folder) => {
  const { json } = programOn(join(folder, 'store.db'))
  await json('machine', 'add', 'Bench', '--units', 'in', '--spindle', '110,190,310,620')
  await json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10', '--marks', '2,4,6,8')
  const sheet = (name: string, ...times: number[]) => {
    const path = join(folder, name)
    const rows = [2, 4, 6, 8].flatMap((dial) => times.map((time) => `${dial},+,${dial}in,${time}s`))
    writeFileSync(path, ['dial,direction,distance,time', ...rows, ''].join('\n'))
    return path
  }
  await json('traverse', '--from', sheet('old.csv', 60.2, 59.9), '--tag', 'oil=old')
  for (const dial of [2, 4]) {
    for (const time of ['61s', '61.4s']) {
      const timed = ['--distance', `${dial}in`, '--time', time, '--direction', '+']
      await json('traverse', '--dial', String(dial), ...timed, '--tag', 'oil=new')
    }
  }
  sheet('again.csv', 60.4, 59.6)
})

/** Every command that does something, with its names from the first on. */
function leaves(command: Command, above: readonly string[] = []): string[][] {
  return command.commands.flatMap((one) =>
    one.commands.length > 0 ? leaves(one, [...above, one.name()]) : [[...above, one.name()]],
  )
}

describe('--json', () => {
  it('prints one document for every command, and one error of a line on stderr where it comes to nothing', async () => {
    const { folder } = await made()
    const ask = async (args: readonly string[], last: string) => {
      const placed = args.map((arg) => arg.replace('FOLDER', folder).replace('LAST', last))
      const store = placed[0] === '--version' ? [] : ['--store', join(folder, 'store.db')]
      return { call: args.join(' '), ...(await runProgram(['--json', ...store, ...placed])) }
    }
    let last = ''
    for (const args of calls(GOOD)) {
      const { call, exitCode, stdout, stderr } = await ask(args, last)
      // A recheck that has not decided and a selfcheck that falls short come to something, too.
      expect([call, exitCode, stderr.includes('"error"')]).toEqual([call, expect.any(Number), false])
      const document: unknown = JSON.parse(stdout)
      expect([call, typeof document]).toEqual([call, 'object'])
      if (args[0] === 'traverse') last = (document as { runs: { id: string }[] }).runs[0]!.id
    }
    const program = buildProgram()
    const unknown = leaves(program).map((names) => [...names, '--frobnicate'])
    for (const args of [...calls(BAD), ...unknown]) {
      const { call, exitCode, stdout, stderr } = await ask(args, last)
      expect([call, stdout]).toEqual([call, ''])
      expect([call, [1, 2, 5].includes(exitCode!)]).toEqual([call, true])
      const { error } = JSON.parse(stderr.trim().split('\n').at(-1)!) as { error: object }
      expect([call, error]).toEqual([
        call,
        { code: expect.stringMatching(/^[a-z-]+$/), message: expect.any(String), hint: expect.any(String) },
      ])
    }
    const good = calls(GOOD).map((args) => args.join(' '))
    const missing = leaves(program)
      .map((names) => names.join(' '))
      .filter((name) => !good.some((call) => call === name || call.startsWith(`${name} `)))
    expect(new Set(missing)).toEqual(new Set(MEASURED_ELSEWHERE))
  })
})
