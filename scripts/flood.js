// Replays a long recording of a fast readout through the built program and measures its memory and time against a
// short one. Needs a build. `node scripts/flood.js [--minutes N] [--rate HZ] [--json]`, 60 minutes at 100 lines/s unless
// said otherwise. Exits 1 where a line costs more memory than its samples explain.
import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { createWriteStream, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { parseArgs } from 'node:util'
import { bundled } from './bundled.js'

/**
 * Bytes of memory a further line may cost at the peak, beside what the collector of garbage leaves lying. A sample is 16
 * bytes in its two columns (24 with the readout's own time); the columns double while they grow and are copied a few
 * times while they are judged. Keeping the lines themselves would cost more than that.
 */
const MOST_BYTES_A_LINE = 150
const LEFT_LYING_BYTES = 32e6

const { values } = parseArgs({
  options: {
    minutes: { type: 'string', default: '60' },
    rate: { type: 'string', default: '100' },
    json: { type: 'boolean', default: false },
  },
})
const minutes = Number(values.minutes)
const refreshHz = Number(values.rate)
const program = fileURLToPath(new URL('../dist/tablepace.js', import.meta.url))
const { QUILLFEN_MILL, INCH_READOUT, USB_LINK, arrivingChunks, readoutLines, simulateSession, stampedLines } =
  await bundled("export * from './src/simulation/index.js'")

const folder = mkdtempSync(join(tmpdir(), 'tablepace-flood-'))
try {
  const short = await replay('short', 1)
  const long = await replay('long', minutes)
  const grownBytes = long.peakBytes - short.peakBytes
  const furtherLines = long.lines - short.lines
  const report = { short, long, grownBytes, bytesALine: Math.round(grownBytes / furtherLines) }
  console.log(JSON.stringify(report, null, values.json ? 0 : 2))
  const tooMuch = grownBytes > LEFT_LYING_BYTES + MOST_BYTES_A_LINE * furtherLines
  process.exitCode = tooMuch || long.accepted === 0 ? 1 : 0
} finally {
  rmSync(folder, { recursive: true, force: true })
}

/** To and fro, about a minute each way, for so many minutes. */
async function replay(name, lastsMinutes) {
  const path = join(folder, `${name}.jsonl`)
  const lines = await record(path, lastsMinutes)
  const store = join(folder, `${name}.db`)
  await run(['--store', store, 'machine', 'add', 'Bench', '--units', 'in'])
  await run(['--store', store, 'axis', 'add', 'X', '--travel', '21in', '--dial', '0..10'])
  const startedMs = performance.now()
  const { stdout, peakBytes } = await run([
    '--store',
    store,
    'traverse',
    '--dial',
    '6',
    '--from',
    path,
    '--json',
  ])
  const { runs } = JSON.parse(stdout)
  return {
    lines,
    seconds: Number(((performance.now() - startedMs) / 1000).toFixed(1)),
    peakBytes,
    runs: runs.length,
    accepted: runs.filter((one) => one.accepted).length,
  }
}

async function record(path, lastsMinutes) {
  const mill = QUILLFEN_MILL
  const drivenMm = Math.min(0.8 * mill.travelMm, (mill.curve(6) * 50) / 60)
  const requests = Array.from({ length: Math.ceil(1.1 * lastsMinutes) + 1 }, (_, i) => ({
    dial: 6,
    direction: i % 2 === 0 ? 1 : -1,
    drivenMm,
    restBeforeS: 4,
    restAfterS: 4,
  }))
  const { motion } = simulateSession(mill, requests, 11)
  const readout = { ...INCH_READOUT, refreshHz }
  const link = { ...USB_LINK, baud: 115_200 }
  const file = createWriteStream(path)
  let lines = 0
  for (const { timeS, text } of stampedLines(arrivingChunks(readoutLines(motion, readout, 1), link, 2))) {
    if (timeS > 60 * lastsMinutes) break
    lines += 1
    if (!file.write(`${JSON.stringify({ t: Number(timeS.toFixed(6)), line: text })}\n`))
      await once(file, 'drain')
  }
  file.end()
  await once(file, 'finish')
  return lines
}

/** Runs the program in a process that tells its own peak of resident memory at the end. */
function run(args) {
  const hook = `process.on('exit', () => process.stderr.write('PEAK ' + process.resourceUsage().maxRSS + '\\n'))`
  const entry = `${hook}; process.argv.splice(1, 0, ${JSON.stringify(program)}); await import(${JSON.stringify(pathToFileURL(program).href)})`
  const child = spawn(process.execPath, ['--input-type=module', '-e', entry, '--', ...args], {
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  let stdout = ''
  let stderr = ''
  child.stdout.on('data', (data) => {
    stdout += data
  })
  child.stderr.on('data', (data) => {
    stderr += data
  })
  return new Promise((done, fail) => {
    child.on('close', (exitCode) => {
      const peak = /PEAK (\d+)/.exec(stderr)
      if (exitCode !== 0 || peak === null) fail(new Error(`tablepace ${args.join(' ')}: ${stderr}`))
      else done({ stdout, peakBytes: 1024 * Number(peak[1]) })
    })
  })
}
