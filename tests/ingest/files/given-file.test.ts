import { execFileSync } from 'node:child_process'
import { mkdirSync, truncateSync, writeFileSync } from 'node:fs'
import { createServer } from 'node:net'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { MOST_TEXT_BYTES, readGivenText } from '../../../src/ingest/files/given-file.js'
import { temporaryFolder } from '../../harness/program.js'

const UNREADABLE = { code: 'missing', message: 'It is not there.', hint: 'Check the path.' }

const codeOf = (path: string): string => {
  try {
    return readGivenText(path, UNREADABLE)
  } catch (error) {
    return error instanceof Error && 'code' in error ? String(error.code) : String(error)
  }
}

describe('readGivenText(path, unreadable)', () => {
  it('gives the text of a file without its byte-order mark', () => {
    const path = join(temporaryFolder(), 'a.json')
    writeFileSync(path, '\uFEFF{"a": "µ"}')
    expect(readGivenText(path, UNREADABLE)).toBe('{"a": "µ"}')
  })

  it('refuses a folder, a device without end, a socket and what is not there, each with its own code', async () => {
    const folder = temporaryFolder()
    mkdirSync(join(folder, 'folder'))
    const server = createServer()
    await new Promise<void>((listening) => server.listen(join(folder, 'socket'), listening))
    expect(codeOf(join(folder, 'folder'))).toBe('file-is-folder')
    expect(codeOf('/dev/zero')).toBe('file-not-regular')
    expect(codeOf(join(folder, 'socket'))).toBe('file-not-regular')
    expect(codeOf(join(folder, 'nothing'))).toBe('missing')
    await new Promise((closed) => server.close(closed))
  })

  it.skipIf(process.platform === 'win32')('refuses a pipe that nobody writes to, at once', () => {
    const path = join(temporaryFolder(), 'pipe')
    execFileSync('mkfifo', [path])
    expect(codeOf(path)).toBe('file-not-regular')
  })

  it('refuses a file that is too large before reading it', () => {
    const path = join(temporaryFolder(), 'large.json')
    writeFileSync(path, '{')
    truncateSync(path, MOST_TEXT_BYTES + 1)
    expect(codeOf(path)).toBe('file-too-large')
  })
})
