// Tries whether the tests notice: changes one operator, constant or condition of a source file at a time and runs the
// test file of the same name against it. node scripts/mutate.js [--sample N] [--seed N] [--under PATH] [--text CODE]
// [--seconds N]: N mutants drawn over src/numbers, src/traverse and src/regression, or all whose code holds CODE.
// No file is changed; see scripts/mutate/. Prints the survivors and the share that was noticed.
import { spawn } from 'node:child_process'
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import prand from 'pure-rand'
import { mutantsOf } from './mutate/mutants.js'

const { values } = parseArgs({
  options: {
    sample: { type: 'string', default: '40' },
    seed: { type: 'string', default: '1' },
    under: { type: 'string', multiple: true, default: ['src/numbers', 'src/traverse', 'src/regression'] },
    text: { type: 'string' },
    seconds: { type: 'string', default: '120' },
  },
})
const root = fileURLToPath(new URL('..', import.meta.url))

const sources = values.under.flatMap(sourcesUnder)
const tested = sources.filter((path) => existsSync(root + testOf(path)))
const untested = sources.filter((path) => !tested.includes(path))
const all = tested.flatMap((path) =>
  mutantsOf(path, readFileSync(root + path, 'utf8')).filter(
    (mutant) => values.text === undefined || mutant.line.includes(values.text),
  ),
)
const drawn = values.text === undefined ? sample(all, Number(values.sample), Number(values.seed)) : all
console.log(`${all.length} mutants in ${tested.length} files; ${drawn.length} are tried.`)
if (untested.length > 0) console.log(`No test of their own name: ${untested.join(', ')}`)

const counts = { noticed: 0, 'ran too long': 0, survived: 0 }
for (const mutant of drawn) {
  const outcome = await tryOut(mutant)
  counts[outcome] += 1
  const place = `${mutant.path}:${mutant.lineNumber}`
  if (outcome === 'survived')
    console.log(`survived  ${place}  ${mutant.from} → ${mutant.to}\n    ${mutant.line}`)
}
const noticed = counts.noticed + counts['ran too long']
console.log(
  `${noticed} of ${drawn.length} noticed (${((100 * noticed) / drawn.length).toFixed(0)} %), ${counts['ran too long']} of them by running too long.`,
)

function sourcesUnder(place) {
  if (place.endsWith('.ts')) return [place]
  return readdirSync(root + place, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts') && !name.endsWith('index.ts'))
    .map((name) => `${place}/${name}`)
    .sort()
}

function testOf(path) {
  return path.replace(/^src\//, 'tests/').replace(/\.ts$/, '.test.ts')
}

/** Drawn without putting back; the same seed draws the same of the same sources. */
function sample(mutants, count, seed) {
  const left = [...mutants]
  const random = prand.xoroshiro128plus(seed)
  return Array.from({ length: Math.min(count, left.length) }, () => {
    const index = prand.unsafeUniformIntDistribution(0, left.length - 1, random)
    return left.splice(index, 1)[0]
  })
}

/** Runs the test of a mutant's file; what runs too long, as a loop that no longer ends, is stopped and counts as noticed. */
function tryOut(mutant) {
  return new Promise((resolve) => {
    const config = ['--config', 'scripts/mutate/vitest.config.js', '--maxWorkers=1', '--bail=1']
    const child = spawn(
      process.execPath,
      ['node_modules/vitest/vitest.mjs', 'run', testOf(mutant.path), ...config],
      {
        cwd: root,
        env: { ...process.env, TABLEPACE_MUTANT: JSON.stringify(mutant) },
        stdio: 'ignore',
        detached: true,
      },
    )
    let tooLong = false
    const timer = setTimeout(() => {
      tooLong = true
      process.kill(-child.pid, 'SIGKILL')
    }, 1000 * Number(values.seconds))
    child.on('exit', (code) => {
      clearTimeout(timer)
      resolve(tooLong ? 'ran too long' : code === 0 ? 'survived' : 'noticed')
    })
  })
}
