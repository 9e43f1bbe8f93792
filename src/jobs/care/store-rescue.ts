import { homedir, tmpdir } from 'node:os'
import { join } from 'node:path'
import { StoreError, sentence } from '../../errors/index.js'
import { writeFile } from '../../files/index.js'
import type { StampedLine } from '../../ingest/index.js'

/**
 * Lines that the store did not take go to a file outside it that their owner alone may read, in the
 * recording format, and the error tells where.
 *
 * @param folders tried in this order; the home folder often lies on the disk that is full
 * @returns the error to throw: the same with another hint, or itself where nothing could be written
 */
export function withRescuedLines(
  error: unknown,
  lines: readonly StampedLine[],
  recordingId: string,
  folders: readonly string[] = [homedir(), tmpdir()],
): unknown {
  if (!(error instanceof StoreError) || lines.length === 0) return error
  const text = lines.map(({ timeS, text }) => `${JSON.stringify({ t: timeS, line: text })}\n`).join('')
  for (const folder of folders) {
    const path = join(folder, `tablepace-rescued-${recordingId}.jsonl`)
    try {
      writeFile({ path, force: false, store: null, ownerOnly: true }, text)
    } catch {
      continue
    }
    const hint = sentence`What was stored before stays; the last ${lines.length} lines are in ${path}. ${error.said.hint}`
    return new StoreError(error.code, error.message, hint, { cause: error })
  }
  return error
}
