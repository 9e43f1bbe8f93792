import { spawnSync } from 'node:child_process'
import { copyFileSync, existsSync, readFileSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { addTableVersions, growStore } from './growth.js'
import { interleavedMs, mib, ms } from './measure.js'

const PROGRAM = fileURLToPath(new URL('../../dist/tablepace.js', import.meta.url))
const MARKS = [2, 3, 4, 5, 6, 7, 8, 9, 10]
const RUNS = 3
const RUN_S = 30
const REFRESH_HZ = 50
const VERSIONS = 40

/** The least a program on this database can do: load the driver, open the file, run one query. */
const BARE_SCRIPT = `import Database from 'better-sqlite3'
const database = new Database(process.argv[2], { readonly: true })
console.log(database.prepare('SELECT name FROM sqlite_master LIMIT 1').get())
`
const PEAK_SCRIPT = `import { writeFileSync } from 'node:fs'
process.on('exit', () => writeFileSync(process.env.PEAK_FILE, String(process.resourceUsage().maxRSS)))
`

/** Lookups and a whole fit as a user starts them, against a bare script on the same database. */
export async function benchWholeProcesses(pieces, folder) {
  if (!existsSync(PROGRAM)) throw new Error('dist/tablepace.js is missing: run `npm run build` first')
  const file = (name) => fileURLToPath(new URL(name, folder))
  writeFileSync(file('bare.mjs'), BARE_SCRIPT)
  writeFileSync(file('peak.mjs'), PEAK_SCRIPT)
  const store = file('bench.tablepace')
  const tablepace = (...args) => runNode([PROGRAM, '--store', store, '--json', ...args])
  const bare = () => runNode([file('bare.mjs'), store])

  const { QUILLFEN_MILL: mill } = pieces
  tablepace('machine', 'add', mill.name, '--units', mill.unit)
  tablepace(
    'axis',
    'add',
    mill.axis,
    '--travel',
    `${mill.travelMm}mm`,
    '--dial',
    '0..10',
    '--marks',
    mill.marks.join(','),
  )
  const recordings = writeRecordings(pieces, file)
  const { runs } = JSON.parse(
    tablepace('traverse', ...recordings.flatMap(({ dial, path }) => ['--from', `${dial}=${path}`])),
  )
  const accepted = runs.filter((run) => run.accepted).length
  if (accepted !== recordings.length)
    throw new Error(`${accepted} of ${recordings.length} runs were accepted`)
  tablepace('fit')

  const feed = `${mill.curve(5.5).toFixed(1)}mm/min`
  const versions = benchVersions(store, file('versions.tablepace'), feed)
  const lookups = interleavedMs(
    { bare, dial: () => tablepace('dial', feed), feed: () => tablepace('feed', '5.5') },
    21,
  )
  const checked = benchChecked(store, file('checked.tablepace'), mill, bare, feed)
  const fits = interleavedMs({ bare, fit: () => tablepace('fit') }, 5)
  const peakBytes = (args) => {
    runNode(['--import', file('peak.mjs'), ...args], { PEAK_FILE: file('peak.txt') })
    return 1024 * Number(readFileSync(file('peak.txt'), 'utf8'))
  }
  const bareBytes = peakBytes([file('bare.mjs'), store])
  const fitBytes = peakBytes([PROGRAM, '--store', store, '--json', 'fit'])
  const yardstick = 'bare script, same database'
  const against = (what, milliseconds, reference, limit) => ({
    what,
    yardstick,
    measured: ms(milliseconds),
    reference: ms(reference),
    ratio: milliseconds / reference,
    limit,
  })
  return [
    against('dial, whole process', lookups.dial, lookups.bare, 1.6),
    against('feed, whole process', lookups.feed, lookups.bare, 1.6),
    {
      what: `dial of an axis with ${VERSIONS} table versions`,
      yardstick: 'the same with one version',
      measured: ms(versions.many),
      reference: ms(versions.one),
      ratio: versions.many / versions.one,
      limit: 1.3,
    },
    // The runs have to be read for what each session moved all feeds by.
    against('dial with check runs of three sessions', checked.dial, checked.bare, 2.2),
    against(`fit of ${recordings.length} runs, whole process`, fits.fit, fits.bare, 12),
    {
      what: 'fit, peak memory',
      yardstick,
      measured: mib(fitBytes),
      reference: mib(bareBytes),
      ratio: fitBytes / bareBytes,
      limit: null,
    },
    ...growth(store, file('grown.tablepace'), { machine: mill.name, feed }),
  ]
}

/** A lookup in a store of one fit and in a copy with many. */
function benchVersions(one, many, feed) {
  addTableVersions(one, many, VERSIONS)
  const dial = (store) => () => runNode([PROGRAM, '--store', store, '--json', 'dial', feed])
  const times = interleavedMs({ one: dial(one), many: dial(many) }, 21)
  if (!dial(many)().includes(`"version": ${VERSIONS},`))
    throw new Error(`version ${VERSIONS} does not answer`)
  return times
}

/** A lookup in a copy of the store to which three sessions of one check run each came. */
function benchChecked(store, path, mill, bare, feed) {
  copyFileSync(store, path)
  const tablepace = (...args) => runNode([PROGRAM, '--store', path, '--json', ...args])
  for (const session of ['monday', 'tuesday', 'wednesday']) {
    const entry = ['--distance', `${(mill.curve(5) / 2).toFixed(2)}mm`, '--time', '30s', '--direction', '+']
    tablepace('traverse', '--dial', '5', ...entry, '--check', '--session', session)
  }
  return interleavedMs({ bare, dial: () => tablepace('dial', feed, '--session', 'wednesday') }, 21)
}

/** The same commands on the same axis in a store of one machine and in one grown a thousandfold. */
function growth(small, grown, { machine, feed }) {
  const runs = growStore(small, grown)
  const asked =
    (store) =>
    (...args) =>
      runNode([PROGRAM, '--store', store, '--json', ...args, '--machine', machine])
  const [here, there] = [asked(small), asked(grown)]
  const times = interleavedMs(
    {
      dialHere: () => here('dial', feed),
      dialThere: () => there('dial', feed),
      historyHere: () => here('history'),
      historyThere: () => there('history'),
    },
    15,
  )
  const fits = interleavedMs({ fitHere: () => here('fit'), fitThere: () => there('fit') }, 5)
  return [
    ['dial', times.dialThere, times.dialHere],
    ['history', times.historyThere, times.historyHere],
    ['fit', fits.fitThere, fits.fitHere],
  ].map(([what, measured, reference]) => ({
    what: `${what} among 100 machines, ${runs} runs`,
    yardstick: 'the same with one machine',
    measured: ms(measured),
    reference: ms(reference),
    ratio: measured / reference,
    limit: 1.3,
  }))
}

/** Every mark, both directions, several runs, in the order up, down, up. */
function writeRecordings(pieces, file) {
  const { QUILLFEN_MILL: mill, INCH_READOUT, USB_LINK } = pieces
  const recordings = []
  for (let pass = 0; pass < RUNS; pass += 1) {
    for (const dial of pass % 2 === 0 ? MARKS : [...MARKS].reverse()) {
      for (const direction of [1, -1]) {
        const seed = recordings.length + 1
        const request = { dial, direction, drivenMm: mill.travelMm - 30, longestS: RUN_S }
        const { motion } = pieces.simulateRun(mill, request, seed)
        const lines = pieces.readoutLines(motion, { ...INCH_READOUT, refreshHz: REFRESH_HZ }, seed)
        const path = file(`run-${seed}.jsonl`)
        writeFileSync(path, pieces.jsonlRecording(pieces.arrivingChunks(lines, USB_LINK, seed)))
        recordings.push({ dial, path })
      }
    }
  }
  return recordings
}

function runNode(args, env = {}) {
  const { status, stdout, stderr } = spawnSync(process.execPath, args, {
    env: { ...process.env, ...env },
    encoding: 'utf8',
    maxBuffer: 2 ** 28,
  })
  if (status !== 0) throw new Error(`node ${args.slice(0, 8).join(' ')} ended with ${status}\n${stderr}`)
  return stdout
}
