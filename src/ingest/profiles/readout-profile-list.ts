import { readdir } from 'node:fs/promises'
import { join } from 'node:path'
import { FileError, sentence, UsageError, way } from '../../errors/index.js'
import { makeOwnFolder, writeFile } from '../../files/index.js'
import { calibrationFolder } from './calibration-folder.js'
import type { ReadoutProfile } from './readout-profile.js'
import { readProfileFile } from './readout-profile-file.js'

/**
 * Loads a readout profile by its name, from those of the program and then the user's own, or from a file when the
 * text looks like a path.
 *
 * @throws UsageError `unknown-profile` naming the known ones, `bad-profile` with file and field
 * @throws FileError `profile-unreadable`
 */
export async function loadReadoutProfile(nameOrPath: string): Promise<ReadoutProfile> {
  if (/[\\/]|\.json$/i.test(nameOrPath)) return await readProfileFile(nameOrPath)
  const name = nameOrPath.toLowerCase()
  const builtIn = await listReadoutProfiles()
  const found = builtIn.find((profile) => profile.name === name)
  if (found) return found
  const file = `${name}.json`
  const folder = await userProfileFolder()
  if ((await profileFiles(folder)).includes(file)) return await readProfileFile(join(folder, file))
  const known = [...builtIn, ...(await listUserProfiles())].map((profile) => profile.name)
  throw new UsageError(
    'unknown-profile',
    `There is no readout profile "${nameOrPath}".`,
    `There are ${known.join(', ')}; a file is named by its path, such as ./mine.json.`,
  )
}

/** The readout profiles that come with the program, by name. */
export async function listReadoutProfiles(): Promise<readonly ReadoutProfile[]> {
  return await readFolder(join(calibrationFolder(), 'readouts'))
}

/** The user's own readout profiles, by name. */
export async function listUserProfiles(): Promise<readonly ReadoutProfile[]> {
  return await readFolder(await userProfileFolder())
}

/**
 * Keeps a profile among the user's own.
 *
 * @param replace whether one of the same name may be overwritten
 * @returns the path of the file
 * @throws UsageError `profile-name-taken`; FileError `profile-unwritable`
 */
export async function saveUserProfile(profile: ReadoutProfile, replace: boolean): Promise<string> {
  await checkProfileName(profile.name, replace)
  const folder = await userProfileFolder()
  const path = join(folder, `${profile.name}.json`)
  try {
    makeOwnFolder(folder)
    writeFile({ path, force: replace, store: null }, `${JSON.stringify(profile, null, 2)}\n`)
  } catch (cause) {
    throw new FileError(
      'profile-unwritable',
      `The readout profile ${path} cannot be written.`,
      'Check that the folder may be written to and that the disk is not full.',
      { cause },
    )
  }
  return path
}

/** Refuses a name that cannot be kept. @throws UsageError `bad-profile-name`, `profile-name-taken` */
export async function checkProfileName(name: string, replace: boolean): Promise<void> {
  if (!/^[a-z0-9-]+$/.test(name)) {
    throw new UsageError(
      'bad-profile-name',
      `"${name}" cannot be the name of a readout profile.`,
      'Use small letters, digits and hyphens.',
    )
  }
  const builtIn = (await listReadoutProfiles()).some((profile) => profile.name === name)
  const own = (await profileFiles(await userProfileFolder())).includes(`${name}.json`)
  if (!builtIn && (!own || replace)) return
  throw new UsageError(
    'profile-name-taken',
    `There is a readout profile ${name} already.`,
    builtIn
      ? 'It comes with the program; choose another name.'
      : sentence`Choose another name, or replace the one that is there${way('replace-profile')}.`,
  )
}

async function userProfileFolder(): Promise<string> {
  const { default: envPaths } = await import('env-paths')
  return join(envPaths('tablepace', { suffix: '' }).data, 'readouts')
}

async function readFolder(folder: string): Promise<readonly ReadoutProfile[]> {
  return await Promise.all((await profileFiles(folder)).map((file) => readProfileFile(join(folder, file))))
}

/** None where the folder is missing: the user has saved none yet. */
async function profileFiles(folder: string): Promise<readonly string[]> {
  const files = await readdir(folder).catch(() => [])
  return files.filter((file) => file.endsWith('.json')).sort()
}
