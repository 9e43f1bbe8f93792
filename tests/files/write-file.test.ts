import {
  chmodSync,
  existsSync,
  linkSync,
  lstatSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { TablepaceError } from '../../src/errors/index.js'
import { writeFile } from '../../src/files/index.js'
import { openFresh } from '../../src/files/write-file.js'
import { temporaryFolder } from '../harness/program.js'
import { asOtherUser } from '../store/other-user.js'

const to = (path: string, force = false) => ({ path, force, store: null })

function failure(work: () => void): string {
  try {
    work()
  } catch (error) {
    if (error instanceof TablepaceError) return `${error.code} ${error.exitCode}: ${error.message}`
    throw error
  }
  return 'no error'
}

describe('writeFile(destination, content)', () => {
  it('writes text and bytes, and leaves nothing else', () => {
    const place = temporaryFolder()
    writeFile(to(join(place, 'table.csv')), 'dial,feed ½\n')
    writeFile(to(join(place, 'bytes')), new Uint8Array([1, 2]))
    expect(readFileSync(join(place, 'table.csv'), 'utf8')).toBe('dial,feed ½\n')
    expect([...readFileSync(join(place, 'bytes'))]).toEqual([1, 2])
    expect(readdirSync(place)).toEqual(['bytes', 'table.csv'])
  })

  it('replaces a file only by force, and keeps its rights', () => {
    const path = join(temporaryFolder(), 'file')
    writeFileSync(path, 'old', { mode: 0o640 })
    expect(failure(() => writeFile(to(path), 'new'))).toMatch(/^file-exists 2: .* is already there/)
    expect(readFileSync(path, 'utf8')).toBe('old')
    writeFile(to(path, true), 'new')
    expect(readFileSync(path, 'utf8')).toBe('new')
    expect(statSync(path).mode & 0o777).toBe(0o640)
  })

  it('follows a link by force alone, and it stays a link', () => {
    const place = temporaryFolder()
    writeFileSync(join(place, 'real'), 'old')
    symlinkSync(join(place, 'real'), join(place, 'link'))
    symlinkSync(join(place, 'nowhere'), join(place, 'loose'))
    expect(failure(() => writeFile(to(join(place, 'link')), 'new'))).toMatch(/^file-exists/)
    expect(failure(() => writeFile(to(join(place, 'loose')), 'new'))).toMatch(/^file-exists/)
    writeFile(to(join(place, 'link'), true), 'new')
    expect(readFileSync(join(place, 'real'), 'utf8')).toBe('new')
    expect(lstatSync(join(place, 'link')).isSymbolicLink()).toBe(true)
    expect(existsSync(join(place, 'nowhere'))).toBe(false)
  })

  it('writes into a device without replacing it', () => {
    writeFile(to('/dev/null'), 'text')
    expect(lstatSync('/dev/null').isFile()).toBe(false)
    expect(failure(() => writeFile(to('/dev/full'), 'text'))).toMatch(/^file-not-written 5: .*disk is full/)
  })

  it('file-not-written names the path and the cause, and keeps the old file', () => {
    const place = temporaryFolder()
    const path = join(place, 'file')
    writeFileSync(path, 'old')
    expect(failure(() => writeFile(to(join(place, 'none', 'x')), ''))).toMatch(
      /^file-not-written 5: .*none\/x .*its folder is not there\.$/,
    )
    expect(failure(() => writeFile(to(place, true), ''))).toMatch(/it is a folder/)
    expect(failure(() => writeFile(to(join(path, 'x')), ''))).toMatch(/leads through a file/)
    expect(failure(() => writeFile(to(join(place, 'x'.repeat(300))), ''))).toMatch(/name is too long/)
    chmodSync(place, 0o555)
    const refused = asOtherUser(() => failure(() => writeFile(to(path, true), 'new')))
    chmodSync(place, 0o755)
    expect(refused).toMatch(/you may not write/)
    expect(readFileSync(path, 'utf8')).toBe('old')
  })

  it('makes what its owner alone may read', () => {
    const path = join(temporaryFolder(), 'file')
    writeFile({ ...to(path), ownerOnly: true }, 'text')
    expect(statSync(path).mode & 0o777).toBe(0o600)
  })
})

describe('the store', () => {
  it('never gives way, by whatever name it or its files are called', () => {
    const place = temporaryFolder()
    const store = join(place, 'store.db')
    mkdirSync(join(place, 'sub'))
    mkdirSync(join(place, 'far'))
    symlinkSync(place, join(place, 'sub', 'up'))
    symlinkSync(join(place, 'far'), join(place, 'sub', 'far'))
    for (const suffix of ['', '-wal']) writeFileSync(store + suffix, `store${suffix}`)
    symlinkSync(store, join(place, 'symbolic'))
    symlinkSync(`${store}-shm`, join(place, 'loose'))
    linkSync(store, join(place, 'hard'))
    linkSync(`${store}-wal`, join(place, 'hard-wal'))
    const names = [
      ...['', '-wal', '-shm', '-journal'].map((suffix) => store + suffix),
      `${place}/./sub/..//store.db`,
      join(place, 'sub', 'up', 'store.db'),
      // The system follows the link first: this is the place itself, whatever the spelling says.
      `${place}/sub/far/../store.db`,
      ...['symbolic', 'loose', 'hard', 'hard-wal', 'STORE.DB-SHM'].map((name) => join(place, name)),
    ]
    for (const path of names)
      for (const force of [false, true])
        expect([path, failure(() => writeFile({ path, force, store }, 'over'))]).toEqual([
          path,
          expect.stringMatching(/^file-is-store 2: /),
        ])
    // Opened through a link, its log lies beside the real file.
    const linked = { path: `${store}-wal`, force: true, store: join(place, 'symbolic') }
    expect(failure(() => writeFile(linked, 'over'))).toMatch(/^file-is-store/)
    expect(readFileSync(store, 'utf8') + readFileSync(`${store}-wal`, 'utf8')).toBe('storestore-wal')
    expect(readdirSync(place).filter((name) => /part/.test(name))).toEqual([])
  })
})

describe('openFresh(path, rights)', () => {
  it('fails where a file or a link was laid in its place', () => {
    const place = temporaryFolder()
    const victim = join(place, 'victim')
    writeFileSync(victim, 'old')
    symlinkSync(victim, join(place, 'planted'))
    symlinkSync(join(place, 'nowhere'), join(place, 'loose'))
    for (const name of ['victim', 'planted', 'loose'])
      expect(() => openFresh(join(place, name), 0o600)).toThrow(/EEXIST/)
    expect(readFileSync(victim, 'utf8')).toBe('old')
    expect(existsSync(join(place, 'nowhere'))).toBe(false)
  })
})
