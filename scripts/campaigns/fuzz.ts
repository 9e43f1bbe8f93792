import { cpSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { TablepaceError } from '../../src/errors/index.js'
import { findProcedure } from '../../src/jobs/index.js'
import { LearnDesk } from '../../src/page/server/machine/learn-desk.js'
import { LiveDesk } from '../../src/page/server/measure/live-desk.js'
import { SessionDesk } from '../../src/page/server/measure/session-desk.js'
import { apiRoutes } from '../../src/page/server/routes.js'
import { type SeededRandom, seededRandom } from '../../src/simulation/index.js'
import { openStore } from '../../src/store/index.js'
import { commandHere, errorCode } from './command-here.js'
import { mutated, oddNumber, oddText, pick } from './mutations.js'

/** What fuzzed inputs came to. */
interface FuzzReport {
  readonly inputs: number
  /** Errors that are none of ours, by reader: never allowed. */
  readonly unforeseen: string[]
  /** Of each reader: how many inputs it took, and how many it refused with one of our errors. */
  readonly readers: Map<string, { taken: number; refused: number }>
}

/** One input given to one reader. @returns null where it was taken, our error's code where it was refused */
type Reader = (random: SeededRandom) => Promise<string | null>

/**
 * Gives every reader of the program inputs that are nearly sound or not at all, in this process.
 *
 * @param folder an empty folder, best in memory
 */
export async function fuzzCampaign(
  folder: string,
  { inputs, seed }: { inputs: number; seed: number },
): Promise<FuzzReport> {
  const readers = await makeReaders(folder)
  const report: FuzzReport = { inputs, unforeseen: [], readers: new Map() }
  for (let input = 0; input < inputs; input += 1) {
    const [name, read] = readers[input % readers.length]!
    // Every input has a seed of its own, so that one can be given again alone.
    const own = seed + 1000 * input
    const tally = report.readers.get(name) ?? { taken: 0, refused: 0 }
    report.readers.set(name, tally)
    try {
      if ((await read(seededRandom(own))) === null) tally.taken += 1
      else tally.refused += 1
    } catch (error) {
      report.unforeseen.push(
        `${name}, seed ${own}: ${error instanceof Error ? error.message : String(error)}`,
      )
    }
  }
  return report
}

const TOUR = 'fixtures/tour'

async function makeReaders(folder: string): Promise<[string, Reader][]> {
  mkdirSync(folder, { recursive: true })
  const made = join(folder, 'made.db')
  const must = async (...args: string[]) => {
    const answer = await commandHere(['--store', made, '--json', ...args])
    if (answer.exitCode !== 0) throw new Error(`${args.join(' ')}: ${answer.stderr}`)
  }
  await must('machine', 'add', 'Bench', '--units', 'in', '--spindle', '90,150,240,390')
  await must('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10', '--marks', '2,4,6,8,10')
  await must('traverse', '--from', `${TOUR}/stopwatch-sheet.csv`)
  await must('fit')
  const document = join(folder, 'table.json')
  const dataPackage = join(folder, 'package')
  await must('export', '--format', 'json', '--to', document)
  await must('export', '--format', 'datapackage', '--to', dataPackage)
  const store = join(folder, 'store.db')
  const lines = readFileSync(`${TOUR}/dial-4-plus.jsonl`)
  const sound = {
    jsonl: lines,
    csv: Buffer.from(csvOf(lines)),
    sheet: readFileSync(`${TOUR}/stopwatch-sheet.csv`),
    document: readFileSync(document),
    store: readFileSync(made),
    procedure: readFileSync('calibration/procedures/quick.json'),
    cutting: readFileSync('calibration/cutting-data.json'),
    profiles: readdirSync('calibration/readouts')
      .filter((name) => name.endsWith('.json'))
      .map((name) => readFileSync(`calibration/readouts/${name}`)),
  }
  process.env.XDG_DATA_HOME = join(folder, 'data')
  const own = join(folder, 'data', 'tablepace')
  mkdirSync(own, { recursive: true })

  const onFresh = async (...args: string[]): Promise<string | null> => {
    for (const rest of ['-wal', '-shm']) rmSync(store + rest, { force: true })
    writeFileSync(store, sound.store)
    const answer = await commandHere(['--store', store, '--json', ...args])
    const code = errorCode(answer)
    if (answer.exitCode === 0 || (code === null && [1, 3, 4].includes(answer.exitCode))) return null
    if (code === null || code === 'unforeseen' || ![1, 2, 5].includes(answer.exitCode)) {
      throw new Error(
        `${args.join(' ').slice(0, 200)} ended with ${answer.exitCode}: ${answer.stderr.slice(0, 300)}`,
      )
    }
    return code
  }
  const file = (name: string, bytes: Buffer): string => {
    const path = join(folder, name)
    writeFileSync(path, bytes)
    return path
  }
  const traverse = (path: string, ...more: string[]) =>
    onFresh('traverse', '--from', path, ...more, '--no-save')

  return [
    ['jsonl recording', (random) => traverse(`4=${file('a.jsonl', mutated(sound.jsonl, random))}`)],
    ['csv recording', (random) => traverse(`4=${file('a.csv', mutated(sound.csv, random))}`)],
    ['stopwatch sheet', (random) => traverse(file('sheet.csv', mutated(sound.sheet, random)))],
    [
      'stopwatch sheet',
      (random) => onFresh('traverse', '--from', file('sheet.csv', mutated(sound.sheet, random))),
    ],
    [
      'table document',
      (random) => onFresh('import', file('in.json', mutated(sound.document, random)), '--machine', 'New'),
    ],
    [
      'data package',
      (random) => {
        const changed = join(folder, 'changed')
        rmSync(changed, { recursive: true, force: true })
        cpSync(dataPackage, changed, { recursive: true })
        const name = pick(random, ['datapackage.json', 'marks.csv', 'curve.csv'])
        writeFileSync(join(changed, name), mutated(readFileSync(join(dataPackage, name)), random))
        return onFresh('import', changed, '--machine', 'New')
      },
    ],
    [
      'readout profile',
      (random) =>
        traverse(
          `4=${file('sound.jsonl', sound.jsonl.subarray(0, 4000))}`,
          '--readout',
          file('profile.json', mutated(pick(random, sound.profiles), random)),
        ),
    ],
    [
      'procedure',
      (random) => ours(() => findProcedure(file('procedure.json', mutated(sound.procedure, random)))),
    ],
    [
      'cutting data',
      (random) => {
        writeFileSync(join(own, 'cutting-data.json'), mutated(sound.cutting, random))
        return onFresh('materials').finally(() => rmSync(join(own, 'cutting-data.json')))
      },
    ],
    ['store', (random) => onFresh('import', file('other.db', mutated(sound.store, random)))],
    [
      'dial',
      (random) =>
        onFresh('dial', '--', `${oddNumber(random)}${pick(random, ['', 'in/min', 'mm/min', 'in', 'ipm'])}`),
    ],
    ['feed', (random) => onFresh('feed', '--', oddNumber(random))],
    [
      'stopwatch entry',
      (random) => {
        const [dial, distance, time] = oneOdd(random, ['4', '6in', '28.4s'])
        return onFresh(
          'traverse',
          `--dial=${dial}`,
          `--distance=${distance}`,
          `--time=${time}`,
          '--direction=+',
        )
      },
    ],
    [
      'machine',
      (random) => {
        const [slow, fast, motor] = oneOdd(random, ['95', '410', '1.5hp'])
        const name = random.uniform() < 0.5 ? 'New' : oddText(random)
        return onFresh(
          'machine',
          'add',
          '--units',
          'mm',
          `--spindle=${slow},${fast}`,
          `--motor=${motor}`,
          '--',
          name,
        )
      },
    ],
    [
      'axis',
      (random) => {
        const [travel, low, high, mark] = oneOdd(random, ['8', '0', '10', '4'])
        const name = random.uniform() < 0.5 ? 'Y' : oddText(random)
        return onFresh(
          'axis',
          'add',
          `--travel=${travel}`,
          `--dial=${low}..${high}`,
          `--marks=${mark},8`,
          '--',
          name,
        )
      },
    ],
    [
      'cut',
      (random) => {
        const [diameter, teeth, speed, chip, width] = oneOdd(random, [
          '0.5',
          '4',
          '90ft/min',
          '0.003in',
          '0.2',
        ])
        const given = [
          `--diameter=${diameter}`,
          `--teeth=${teeth}`,
          `--speed=${speed}`,
          `--chip-load=${chip}`,
        ]
        return onFresh('cut', ...given, `--width=${width}`)
      },
    ],
    ['page request', (random) => ours(() => askPage(store, sound.store, random))],
  ]
}

/** Sound values, one of them replaced by an odd number. */
function oneOdd(random: SeededRandom, sound: readonly string[]): string[] {
  const odd = Math.floor(random.uniform() * sound.length)
  return sound.map((value, index) => (index === odd ? oddNumber(random) : value))
}

/** The code of one of our errors; any other is thrown on. */
async function ours(work: () => unknown): Promise<string | null> {
  try {
    await work()
    return null
  } catch (error) {
    if (error instanceof TablepaceError) return error.code
    throw error
  }
}

/** Requests as the page makes them; those for the readout need a port. */
const REQUESTS: Readonly<Record<string, unknown>> = {
  stopwatch: {
    ...{
      axisId: 1,
      clientId: 'fuzz-client',
      sequence: 1,
      dial: 4,
      direction: 1,
      distanceMm: 100,
      durationS: 30,
    },
    ...{ marksS: [1, 2], inSession: false, person: '', madeAt: '2026-01-02T03:04:05Z' },
    clock: { before: [], after: [] },
  },
  cut: {
    ...{
      axisId: 1,
      unit: 'in',
      direction: '+',
      material: '',
      cutterMaterial: 'hss',
      diameter: '0.5',
      teeth: '4',
    },
    ...{ width: '0.2', depth: '', speed: '90', chipLoad: '0.003' },
  },
  fit: { axisId: 1 },
  'run/drop': { runId: '01M89N94A0X0A9VS0DG1GB9KV4', reason: 'slipped' },
  'run/keep': { runId: '01M89N94A0X0A9VS0DG1GB9KV4' },
  'session/begin': { axisId: 1, procedure: 'quick' },
  'recheck/begin': { axisId: 1, withinPercent: 4, reason: 'oil', source: 'stopwatch', direction: '+' },
  'recheck/judge': { axisId: 1, withinPercent: 4 },
}
const QUESTIONS = ['start', 'axis', 'card', 'history', 'materials']

async function askPage(path: string, bytes: Buffer, random: SeededRandom): Promise<void> {
  for (const rest of ['-wal', '-shm']) rmSync(path + rest, { force: true })
  writeFileSync(path, bytes)
  const store = openStore(path, { mode: 'write' })
  try {
    const send = () => {}
    const sessions = new SessionDesk(store)
    const live = new LiveDesk(store, sessions, send)
    const routes = apiRoutes({ store, sessions, live, learning: new LearnDesk(send), send, readoutPorts: [] })
    const asked = pick(random, [...Object.keys(REQUESTS), ...QUESTIONS])
    const body = REQUESTS[asked]
    const query = new URLSearchParams({
      axis: random.uniform() < 0.5 ? '1' : oddText(random),
      unit: oddText(random),
    })
    if (body === undefined) await routes.get(`GET /api/${asked}`)?.(undefined, query)
    else {
      const text = mutated(Buffer.from(JSON.stringify(body)), random).toString('utf8')
      let value: unknown
      try {
        value = JSON.parse(text)
      } catch {
        // No JSON is refused before any question is looked at.
        return
      }
      await routes.get(`POST /api/${asked}`)?.(value, query)
    }
  } finally {
    store.close()
  }
}

/** The same lines as a recording in CSV. */
function csvOf(jsonl: Buffer): string {
  const rows = jsonl
    .toString('utf8')
    .trim()
    .split('\n')
    .map((row) => {
      const { t, line } = JSON.parse(row) as { t: number; line: string }
      return `${t},${Number(line.replace(/^[^+-]*/, ''))}`
    })
  return ['t,position_in', ...rows, ''].join('\n')
}
