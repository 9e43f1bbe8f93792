import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'

test('the door of src/ingest loads neither the native port library, nor the validator, nor the CSV parser', () => {
  const folder = join(process.cwd(), 'src', 'ingest')
  const eager = readdirSync(folder, { recursive: true, encoding: 'utf8' })
    // Loaded by readout-profile-file.ts at need alone.
    .filter((file) => file.endsWith('.ts') && !file.endsWith('readout-profile-schema.ts'))
    .flatMap((file) => {
      const imports = readFileSync(join(folder, file), 'utf8').matchAll(
        /^import (?!type )[^;]*? from '([^']+)'/gm,
      )
      return [...imports].map(([, name]) => name)
    })
  expect(eager).toContain('@serialport/parser-readline')
  for (const heavy of ['serialport', 'zod', 'csv-parse', './readout-profile-schema.js']) {
    expect(eager).not.toContain(heavy)
  }
})
