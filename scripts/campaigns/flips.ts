import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { checkStore } from '../../src/jobs/care/doctor-store.js'
import { seededRandom } from '../../src/simulation/index.js'
import { type Answer, commandHere, errorCode } from './command-here.js'

/** What single flipped bits came to. */
interface FlipReport {
  readonly flips: number
  /** Answers that differ from those of the whole store, exit code 0: never allowed. */
  readonly silent: string[]
  /** Errors without a code of ours, and codes that say something else than damage: never allowed. */
  readonly unforeseen: string[]
  /** Where the doctor itself failed: never allowed. */
  readonly doctorFailed: string[]
  /** Flips that one command or more refused as damage. */
  refused: number
  /** Flips that the doctor named. */
  named: number
}

/** Codes that tell of damage in other words: a changed version or mark of the file, or a store taken for locked. */
const TELLING = new Set(['store-damaged', 'store-newer'])

/** A store file with its log, as a program leaves it that was killed after its last entry. */
interface StoreBytes {
  readonly file: Buffer
  readonly log: Buffer
}

/**
 * Flips one bit of a real store or its log at a time, and asks the program what it asked the whole store.
 *
 * @param folder an empty folder, best in memory
 * @param everyFit how many flips go by between fits from raw lines, which take longest
 */
export async function flipCampaign(
  folder: string,
  { flips, seed, everyFit }: { flips: number; seed: number; everyFit: number },
): Promise<FlipReport> {
  const whole = await makeStore(folder)
  const random = seededRandom(seed)
  const report: FlipReport = {
    flips,
    silent: [],
    unforeseen: [],
    doctorFailed: [],
    refused: 0,
    named: 0,
  }
  const sound = await answers(folder, whole, true)
  for (const [name, { exitCode, stderr }] of sound) {
    if (exitCode !== 0) throw new Error(`${name} failed on the whole store: ${stderr}`)
  }
  for (let flip = 1; flip <= flips; flip += 1) {
    const bit = Math.floor(random.uniform() * 8 * (whole.file.length + whole.log.length))
    const damaged = flipped(whole, bit)
    const place = `bit ${bit}`
    let refused = false
    for (const [name, answer] of await answers(folder, damaged, flip % everyFit === 0)) {
      const code = errorCode(answer)
      const isTold = /was not written to its end/.test(answer.stderr)
      if (isTold) refused = true
      if (answer.exitCode === 0) {
        if (!isTold && answer.stdout !== sound.get(name)?.stdout)
          report.silent.push(`${place}, ${name}: ${difference(answer.stdout, sound.get(name)?.stdout ?? '')}`)
      } else if (answer.exitCode === 5 && code !== null && TELLING.has(code)) refused = true
      else report.unforeseen.push(`${place}, ${name}: ${answer.stderr.slice(0, 300)}`)
    }
    if (refused) report.refused += 1
    try {
      const path = put(folder, damaged)
      if (checkStore(path).some(({ state }) => state !== 'ok')) report.named += 1
      else if (refused) report.doctorFailed.push(`${place}: refused, but the doctor names nothing`)
    } catch (error) {
      report.doctorFailed.push(`${place}: ${String(error)}`)
    }
  }
  return report
}

/** Where two answers begin to differ. */
function difference(found: string, sound: string): string {
  const at = [...found].findIndex((letter, index) => letter !== sound[index])
  return `${JSON.stringify(found.slice(Math.max(0, at - 40), at + 60))} for ${JSON.stringify(sound.slice(Math.max(0, at - 40), at + 60))}`
}

/** The commands that are asked, by name, and what they answered; numbers alone, no dates of today. */
async function answers(folder: string, bytes: StoreBytes, withFit: boolean): Promise<Map<string, Answer>> {
  const to = join(folder, 'export.json')
  const asked: [name: string, args: string[]][] = [
    ['dial', ['dial', '4.6in/min', ...PLACE]],
    ['feed', ['feed', '6', '--direction', '-', ...PLACE]],
    ['table', ['table', ...PLACE]],
    ['runs', ['runs', ...PLACE]],
    ['history', ['history', ...PLACE]],
    ['export', ['export', '--format', 'json', '--to', to, ...PLACE]],
    ...(withFit
      ? ([
          ['fit', ['fit', ...PLACE]],
          ['fit from raw', ['fit', '--from-raw', ...PLACE]],
          ['recheck', ['recheck', '--within', '4', '--reason', 'flip', '--from', RECHECK, ...PLACE]],
        ] as [string, string[]][])
      : []),
  ]
  const found = new Map<string, Answer>()
  for (const [name, args] of asked) {
    const path = put(folder, bytes)
    rmSync(to, { force: true })
    const answer = await commandHere(['--store', path, '--json', ...args])
    const stdout = name === 'export' && answer.exitCode === 0 ? readFileSync(to, 'utf8') : answer.stdout
    found.set(name, {
      ...answer,
      exitCode: name === 'recheck' && [3, 4].includes(answer.exitCode) ? 0 : answer.exitCode,
      stdout: undated(stdout),
    })
  }
  return found
}

const TOUR = 'fixtures/tour'
const RECHECK = `${TOUR}/recheck-sheet.csv`
const PLACE = ['--machine', 'Bench', '--axis', 'X']

/** Without the moments of this call, and the ids made in it. */
function undated(text: string): string {
  return text
    .replace(/"(fittedAt|exportedAt|at|createdAt|created)":\s*"[^"]*"/g, '')
    .replace(/"\w*[dD]ays\w*":\s*[\d.e-]+/g, '')
    .replace(/\b0[0-9A-HJKMNP-TV-Z]{25}\b/g, (id) => (id > NEWER ? '' : id))
}

/** Ids of this store's runs sort before this moment; a recheck's own runs after it. */
let NEWER = ''

function put(folder: string, { file, log }: StoreBytes): string {
  const path = join(folder, 'store.db')
  for (const rest of ['-wal', '-shm']) rmSync(path + rest, { force: true })
  writeFileSync(path, file)
  if (log.length > 0) writeFileSync(`${path}-wal`, log)
  return path
}

function flipped({ file, log }: StoreBytes, bit: number): StoreBytes {
  const byte = bit >> 3
  const both = { file: Buffer.from(file), log: Buffer.from(log) }
  if (byte < file.length) both.file[byte]! ^= 1 << (bit & 7)
  else both.log[byte - file.length]! ^= 1 << (bit & 7)
  return both
}

/** Two machines, runs by readout and stopwatch, two fits with runs between them, and a log that still holds the last. */
async function makeStore(folder: string): Promise<StoreBytes> {
  mkdirSync(folder, { recursive: true })
  const path = join(folder, 'made.db')
  const call = async (...args: string[]) => {
    const answer = await commandHere(['--store', path, '--json', ...args])
    if (answer.exitCode !== 0) throw new Error(`${args.join(' ')}: ${answer.stderr}`)
  }
  for (const [name, units] of [
    ['Bench', 'in'],
    ['Other', 'mm'],
  ] as const) {
    await call('machine', 'add', name, '--units', units)
    await call(
      'axis',
      'add',
      'X',
      '--machine',
      name,
      '--travel',
      '21in',
      '--dial',
      '0..10',
      '--marks',
      '2,4,6,8,10',
    )
  }
  await call('traverse', '--from', `${TOUR}/stopwatch-sheet.csv`, ...PLACE)
  await call('fit', ...PLACE)
  await call(
    'traverse',
    '--from',
    `4=${TOUR}/dial-4-plus.jsonl`,
    '--from',
    `4=${TOUR}/dial-4-minus.jsonl`,
    ...PLACE,
  )
  // A program that has the store open keeps the log from being taken away.
  const holder = new Database(path)
  holder.prepare('SELECT count(*) FROM machine').get()
  await call('fit', ...PLACE)
  const bytes = { file: readFileSync(path), log: readFileSync(`${path}-wal`) }
  NEWER = String(holder.prepare('SELECT max(id) FROM run').pluck().get())
  holder.close()
  return bytes
}
