// Writes THIRD-PARTY.md: whose work is bundled into dist/page, and whose data lie in fixtures/. With --check it only
// says whether the file would change. Packages that npm installs beside the program bring their own licences.
import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'

const root = fileURLToPath(new URL('..', import.meta.url))
const target = `${root}THIRD-PARTY.md`

const { metafile } = await build({
  absWorkingDir: root,
  entryPoints: ['src/page/client/main.tsx'],
  bundle: true,
  write: false,
  metafile: true,
  format: 'esm',
  jsx: 'automatic',
  jsxImportSource: 'preact',
  logLevel: 'warning',
})
const names = Object.keys(metafile.inputs).flatMap(
  (path) => /^node_modules\/((?:@[^/]+\/)?[^/]+)/.exec(path)?.[1] ?? [],
)
const packages = [...new Set(names)].sort().map(readPackage)

const text = `# Work of others

The licence of tablepace (LICENSE) covers what its authors wrote. It does not cover what stands here.

## Bundled into the page

\`dist/page/page.js\` holds these packages. Their licences ask that their notices go with them.

${packages.map(({ name, version, licence, notice }) => `### ${name} ${version} (${licence})\n\n\`\`\`text\n${notice}\n\`\`\``).join('\n\n')}

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

function readPackage(name) {
  const folder = `${root}node_modules/${name}`
  const { version, license } = JSON.parse(readFileSync(`${folder}/package.json`, 'utf8'))
  const file = readdirSync(folder).find((entry) => /^licen[cs]e/i.test(entry))
  return { name, version, licence: license, notice: readFileSync(`${folder}/${file}`, 'utf8').trim() }
}
