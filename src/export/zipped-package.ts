import { strFromU8, strToU8, unzipSync, zipSync } from 'fflate'
import { DataError, sentence, way } from '../errors/index.js'
import { DESCRIPTOR } from './data-package.js'
import type { PackageReader } from './read-data-package.js'

/** The files of a package that are read back. */
const READ = [DESCRIPTOR, 'marks.csv', 'curve.csv']
/** Most bytes of one of its files, unpacked: as of a table document (judgement, see `MOST_TEXT_BYTES`). */
const MOST_BYTES = 32 * 2 ** 20
/** A zip file holds no date before that day; one and the same makes the file depend on its content alone. */
const NO_DATE = new Date(1980, 0, 1)

/** A data package as one zip file, for where a folder cannot be handed over. */
export function zippedPackage(files: ReadonlyMap<string, string>): Uint8Array {
  const entries = [...files].map(([name, content]) => [name, strToU8(content)] as const)
  return zipSync(Object.fromEntries(entries), { mtime: NO_DATE })
}

/**
 * The files of a zipped data package, by name; they may lie in one folder.
 *
 * @param place how the file is called, for errors
 * @throws DataError `not-our-package` where it is no zip file, or does not hold what a package of ours holds
 */
export function zippedFiles(zip: Uint8Array, place: string): PackageReader {
  const files = new Map<string, string>()
  try {
    // What is larger than any package of ours is not unpacked at all.
    const wanted = unzipSync(zip, {
      filter: ({ name, originalSize }) => READ.includes(nameIn(name)) && originalSize <= MOST_BYTES,
    })
    for (const [name, bytes] of Object.entries(wanted)) files.set(nameIn(name), strFromU8(bytes))
  } catch (cause) {
    throw notOurs(`${place} is no zip file that can be read.`, cause)
  }
  return (name) => {
    const content = files.get(name)
    if (content === undefined) throw notOurs(`${place} holds no ${name}.`)
    return content
  }
}

/** The name of a file in the zip without the one folder it may lie in. */
function nameIn(path: string): string {
  return path.replace(/^[^/]+\//, '')
}

function notOurs(message: string, cause?: unknown): DataError {
  return new DataError(
    'not-our-package',
    message,
    sentence`Give a package that tablepace exported${way('export', { format: 'datapackage' })}, unchanged.`,
    { cause },
  )
}
