import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { StoreError, type TablepaceError } from '../../../src/errors/index.js'
import { openRecording } from '../../../src/ingest/index.js'
import { withRescuedLines } from '../../../src/jobs/care/store-rescue.js'
import { temporaryFolder } from '../../harness/program.js'

const full = new StoreError('store-full', 'The disk is full.', 'Make room.')
const lines = [
  { timeS: 1.5, text: 'X+001.0000' },
  { timeS: 1.6, text: 'X+001.0100' },
]

describe('withRescuedLines(error, lines, recordingId, folders)', () => {
  it('writes them as a recording into the first folder that takes them, and the hint tells where', async () => {
    const folder = temporaryFolder()
    const error = withRescuedLines(full, lines, 'ABC', [join(folder, 'none'), folder]) as TablepaceError
    const path = join(folder, 'tablepace-rescued-ABC.jsonl')
    expect(error).toMatchObject({ code: 'store-full', message: full.message })
    expect(error.hint).toContain(path)
    const recording = await openRecording(path, 'in')
    if (recording.kind !== 'lines') throw new Error(readFileSync(path, 'utf8'))
    const read = []
    for await (const line of recording.lines) read.push(line)
    expect(read).toEqual(lines)
  })

  it('leaves the error as it is where there is nothing to rescue or nowhere to write', () => {
    expect(withRescuedLines(full, [], 'ABC', [temporaryFolder()])).toBe(full)
    expect(withRescuedLines(full, lines, 'ABC', ['/nowhere/at/all'])).toBe(full)
    const other = new Error('a fault of the program')
    expect(withRescuedLines(other, lines, 'ABC', [temporaryFolder()])).toBe(other)
  })
})
