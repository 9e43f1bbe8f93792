// Writes the JSON Schemas in calibration/schema from the types that the program itself checks with.
// Run it after a change to one of them: node scripts/make-schema.js
import { execFileSync } from 'node:child_process'
import { rmSync, writeFileSync } from 'node:fs'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { build } from 'esbuild'

const root = fileURLToPath(new URL('..', import.meta.url))
const bundle = `${root}node_modules/.cache/json-schemas.mjs`
const folder = `${root}calibration/schema`

await build({
  entryPoints: [`${root}src/export/json-schemas.ts`],
  outfile: bundle,
  bundle: true,
  format: 'esm',
  platform: 'node',
  packages: 'external',
  logLevel: 'warning',
})
const { jsonSchemas } = await import(pathToFileURL(bundle).href)
rmSync(bundle)
for (const [name, schema] of Object.entries(jsonSchemas())) {
  writeFileSync(`${folder}/${name}`, `${JSON.stringify(schema, null, 2)}\n`)
}
execFileSync('npx', ['biome', 'format', '--write', folder], { cwd: root, stdio: 'inherit' })
