import { existsSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { FileError } from '../errors/index.js'

/**
 * The folder of published cases that comes with the program, found by walking up from here: the same from
 * src/ and dist/.
 *
 * @throws FileError `cases-missing` when the installation is incomplete
 */
export function publishedCasesFolder(): string {
  const start = dirname(fileURLToPath(import.meta.url))
  for (let folder = start; ; folder = dirname(folder)) {
    const found = join(folder, 'fixtures', 'references')
    if (existsSync(found)) return found
    if (dirname(folder) === folder) break
  }
  throw new FileError(
    'cases-missing',
    `The published check cases were not found above ${start}.`,
    'The installation is incomplete; install tablepace again.',
  )
}
