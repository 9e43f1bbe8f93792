// Runs the commands of the README's tour and writes what they print under them, so that the README shows what the
// program does. `node scripts/readme-tour.js` rewrites the README, `--check` only tells whether it would change.
import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = fileURLToPath(new URL('..', import.meta.url))
const readme = join(root, 'README.md')
const folder = mkdtempSync(join(tmpdir(), 'tablepace-tour-'))
const env = { ...process.env, TABLEPACE_STORE: join(folder, 'store.db'), NO_COLOR: '1' }

const text = readFileSync(readme, 'utf8')
const shown = text.replace(/```console\n([\s\S]*?)```/g, (_, block) => {
  const commands = block.split('\n').filter((line) => line.startsWith('$ '))
  return `\`\`\`console\n${commands.map(run).join('\n')}\`\`\``
})
rmSync(folder, { recursive: true })

if (process.argv.includes('--check')) {
  if (steady(shown) !== steady(text)) {
    console.error('The tour in README.md is out of date: run node scripts/readme-tour.js')
    writeFileSync(join(tmpdir(), 'tablepace-readme.md'), shown)
    process.exitCode = 1
  }
} else {
  writeFileSync(readme, shown)
}

/** One command with what it prints, both streams in the order a terminal shows them. */
function run(line) {
  const program = `"${process.execPath}" "${join(root, 'dist/tablepace.js')}"`
  const command = line.slice(2).replace(/^tablepace/, program)
  // A shell that gets its input from Node takes itself for one from afar, and would read the user's own start-up file.
  const output = execFileSync('bash', ['--norc', '-c', `exec 2>&1; ${command}`], {
    cwd: root,
    env,
    encoding: 'utf8',
  })
  return `${line}\n${output.replaceAll(folder, '~')}`
}

/** What differs from one run to the next: days, times and run ids. */
function steady(content) {
  return content
    .replace(/\d{4}-\d{2}-\d{2}/g, 'DAY')
    .replace(/\d{2}:\d{2}(?::\d{2}\.\d+)?/g, 'TIME')
    .replace(/^[0-9A-HJKMNP-TV-Z]{6}(?= )/gm, 'RUN')
}
