import { existsSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { FileError } from '../../errors/index.js'

/**
 * The folder of data that a calibration follows (readout profiles and more), found by walking up
 * to our own package.json: the same from src/ and dist/.
 *
 * @throws FileError `calibration-missing` when the installation is incomplete
 */
export function calibrationFolder(): string {
  const start = dirname(fileURLToPath(import.meta.url))
  for (let folder = start; ; folder = dirname(folder)) {
    if (isOurs(join(folder, 'package.json'))) {
      const found = join(folder, 'calibration')
      if (existsSync(found)) return found
    }
    if (dirname(folder) === folder) break
  }
  throw new FileError(
    'calibration-missing',
    `The calibration folder of tablepace was not found above ${start}.`,
    'The installation is incomplete; install tablepace again.',
  )
}

function isOurs(packageFile: string): boolean {
  try {
    const content: unknown = JSON.parse(readFileSync(packageFile, 'utf8'))
    return (
      typeof content === 'object' && content !== null && 'name' in content && content.name === 'tablepace'
    )
  } catch {
    return false
  }
}
