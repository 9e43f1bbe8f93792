import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { temporaryFolder } from './program.js'

/** How often it is looked whether another worker has made a folder, ms. */
const LOOK_EVERY_MS = 20

/**
 * A folder that is made once for all tests that ask for it, in one file or several; each gets a copy of its own, and the
 * first goes away with the run. A store is copied in no time, while a call of the program that fills one takes a tenth
 * of a second, and a fit takes one.
 *
 * @param make fills the folder; what it returns is given with every copy, and is written as JSON on its way
 * @param name where files of several workers ask for it: the first of them makes it for all
 */
export function madeOnce<T>(
  make: (folder: string) => Promise<T>,
  name?: string,
): () => Promise<{ readonly folder: string; readonly made: T }> {
  const shared =
    name === undefined ? mkdtempSync(join(tmpdir(), 'tablepace-test-')) : join(tmpdir(), `made-once-${name}`)
  let making: Promise<T> | undefined
  return async () => {
    making ??= name === undefined ? make(shared) : makeOrWait(shared, make)
    const made = await making
    const folder = temporaryFolder()
    cpSync(shared, folder, { recursive: true })
    return { folder, made }
  }
}

/** Whoever can make the folder fills it; the others wait for what came of it. */
async function makeOrWait<T>(folder: string, make: (folder: string) => Promise<T>): Promise<T> {
  const outcome = `${folder}.json`
  const tell = (what: { readonly made?: T; readonly failed?: string }): void => {
    writeFileSync(`${outcome}.new`, JSON.stringify(what))
    renameSync(`${outcome}.new`, outcome)
  }
  if (mkdirSync(folder, { recursive: true }) !== undefined) {
    try {
      const made = await make(folder)
      tell({ made })
      return made
    } catch (error) {
      tell({ failed: String(error) })
      throw error
    }
  }
  while (!existsSync(outcome)) await sleep(LOOK_EVERY_MS)
  const { made, failed } = JSON.parse(readFileSync(outcome, 'utf8')) as { made: T; failed?: string }
  if (failed !== undefined) throw new Error(`another worker could not make ${folder}: ${failed}`)
  return made
}
