// Writes THIRD-PARTY.md: whose work is bundled into dist/, and whose data lie in fixtures/. With --check it only
// says whether the file would change. Packages that npm installs beside the program bring their own licences.
import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'
import { PROGRAM_BUILD } from './program-build.js'

const root = fileURLToPath(new URL('..', import.meta.url))
const target = `${root}THIRD-PARTY.md`

const page = await packagesIn({
  entryPoints: ['src/page/client/main.tsx'],
  bundle: true,
  format: 'esm',
  jsx: 'automatic',
  jsxImportSource: 'preact',
  logLevel: 'warning',
})
const program = await packagesIn({ ...PROGRAM_BUILD, outdir: 'dist' })

const text = `# Work of others

The licence of tablepace (LICENSE) covers what its authors wrote. It does not cover what stands here.

## Bundled

\`dist/page/page.js\` holds ${page.join(', ')}; \`dist/program.cjs\` holds ${program.join(', ')}. Their licences ask
that their notices go with them.

${[...new Set([...page, ...program])].sort().map(notice).join('\n\n')}

## Data

| files | whose | licence |
| --- | --- | --- |
| \`fixtures/open-data\`, \`fixtures/recordings/encoder-move-*.csv\` | the authors of github.com/opatiny/micromouse, folder matlab/data, commit fb04095 | CERN Open Hardware Licence Version 2 - Permissive: \`fixtures/open-data/LICENCE-CERN-OHL-P-2.0.txt\`; what was changed and when stands in \`fixtures/open-data/README.md\` |
| \`fixtures/references\` | facts and figures from the published sources that each item names | facts; no text was copied |
`

if (!process.argv.includes('--check')) writeFileSync(target, text)
else if (readFileSync(target, 'utf8') !== text) {
  console.error('THIRD-PARTY.md is out of date: run node scripts/third-party.js')
  process.exitCode = 1
}

/** Names of the packages that a build takes in. */
async function packagesIn(options) {
  const { metafile } = await build({ ...options, absWorkingDir: root, write: false, metafile: true })
  const names = Object.keys(metafile.inputs).flatMap(
    (path) => /^node_modules\/((?:@[^/]+\/)?[^/]+)/.exec(path)?.[1] ?? [],
  )
  return [...new Set(names)].sort()
}

function notice(name) {
  const folder = `${root}node_modules/${name}`
  const { version, license } = JSON.parse(readFileSync(`${folder}/package.json`, 'utf8'))
  const file = readdirSync(folder).find((entry) => /^licen[cs]e/i.test(entry))
  const text = readFileSync(`${folder}/${file}`, 'utf8').trim()
  return `### ${name} ${version} (${license})\n\n\`\`\`text\n${text}\n\`\`\``
}
