import { basename } from 'node:path'
import { UsageError } from '../../errors/index.js'
import { readGivenText } from '../files/given-file.js'
import { calibrationFolder } from './calibration-folder.js'
import type { ReadoutProfile } from './readout-profile.js'

/**
 * Reads and checks one profile file.
 *
 * @throws UsageError `bad-profile` with file and field; FileError `profile-unreadable`
 */
export async function readProfileFile(path: string): Promise<ReadoutProfile> {
  const text = readGivenText(path, {
    code: 'profile-unreadable',
    message: `The readout profile ${path} cannot be read.`,
    hint: 'Check the path and that the file may be read.',
  })
  let content: unknown
  try {
    content = JSON.parse(text)
  } catch (cause) {
    const reason = cause instanceof Error ? cause.message : String(cause)
    throw badProfile(path, `is not JSON: ${reason}`, cause)
  }
  // Loaded here so that whoever does without profiles does without the validator.
  const { readoutProfileSchema } = await import('./readout-profile-schema.js')
  const result = readoutProfileSchema.safeParse(content)
  if (!result.success) {
    const issue = result.error.issues[0]!
    const field = issue.path.length > 0 ? `field ${issue.path.join('.')}` : 'the whole'
    throw badProfile(path, `${field}: ${issue.message}`, result.error)
  }
  return result.data
}

function badProfile(path: string, what: string, cause: unknown): UsageError {
  return new UsageError(
    'bad-profile',
    `The readout profile ${path} is not valid, ${what}.`,
    `Compare it with ${basename(calibrationFolder())}/readouts/plain.json.`,
    { cause },
  )
}
