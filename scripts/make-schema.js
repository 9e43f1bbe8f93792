// Writes the JSON Schemas in calibration/schema from the types that the program itself checks with.
// Run it after a change to one of them: node scripts/make-schema.js
import { execFileSync } from 'node:child_process'
import { writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { bundled } from './bundled.js'

const root = fileURLToPath(new URL('..', import.meta.url))
const folder = `${root}calibration/schema`

const { jsonSchemas } = await bundled("export { jsonSchemas } from './src/export/json-schemas.js'")
for (const [name, schema] of Object.entries(jsonSchemas())) {
  writeFileSync(`${folder}/${name}`, `${JSON.stringify(schema, null, 2)}\n`)
}
execFileSync('npx', ['biome', 'format', '--write', folder], { cwd: root, stdio: 'inherit' })
