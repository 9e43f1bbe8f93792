import {
  chmodSync,
  lstatSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it, onTestFinished } from 'vitest'
import { FileError } from '../../src/errors/index.js'
import { writeFileAtomically } from '../../src/export/index.js'
import { asOtherUser } from '../store/other-user.js'

function folder(): string {
  const made = mkdtempSync(join(tmpdir(), 'tablepace-test-'))
  onTestFinished(() => rmSync(made, { recursive: true, force: true }))
  return made
}

function failure(work: () => void): string {
  try {
    work()
  } catch (error) {
    if (error instanceof FileError) return `${error.code}: ${error.message}`
    throw error
  }
  return 'no error'
}

describe('writeFileAtomically(path, content)', () => {
  it('writes text and bytes, replaces what was there, and leaves nothing else', () => {
    const place = folder()
    const path = join(place, 'table.csv')
    writeFileAtomically(path, 'dial,feed ½\n')
    expect(readFileSync(path, 'utf8')).toBe('dial,feed ½\n')
    writeFileAtomically(path, new Uint8Array([1, 2]))
    expect([...readFileSync(path)]).toEqual([1, 2])
    expect(readdirSync(place)).toEqual(['table.csv'])
  })

  it('follows a link, which stays a link', () => {
    const place = folder()
    writeFileSync(join(place, 'real'), 'old')
    symlinkSync(join(place, 'real'), join(place, 'link'))
    writeFileAtomically(join(place, 'link'), 'new')
    expect(readFileSync(join(place, 'real'), 'utf8')).toBe('new')
    expect(lstatSync(join(place, 'link')).isSymbolicLink()).toBe(true)
  })

  it('writes into a device without replacing it', () => {
    writeFileAtomically('/dev/null', 'text')
    expect(lstatSync('/dev/null').isFile()).toBe(false)
  })

  it('file-not-written names the path and the cause, and keeps the old file', () => {
    const place = folder()
    const path = join(place, 'file')
    writeFileSync(path, 'old')
    expect(failure(() => writeFileAtomically(join(place, 'none', 'x'), ''))).toMatch(
      /^file-not-written: .*none\/x .*its folder is not there\.$/,
    )
    expect(failure(() => writeFileAtomically(place, ''))).toMatch(/it is a folder/)
    expect(failure(() => writeFileAtomically(join(path, 'x'), ''))).toMatch(/leads through a file/)
    expect(failure(() => writeFileAtomically(join(place, 'x'.repeat(300)), ''))).toMatch(/name is too long/)
    chmodSync(place, 0o555)
    const refused = asOtherUser(() => failure(() => writeFileAtomically(path, 'new')))
    chmodSync(place, 0o755)
    expect(refused).toMatch(/may not be written/)
    expect(readFileSync(path, 'utf8')).toBe('old')
  })
})
