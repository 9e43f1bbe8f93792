import { existsSync, readdirSync, readFileSync, statSync, symlinkSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { emptyStore, makeStoreFile } from '../../../src/store/file/empty-store.js'
import { temporaryFolder } from '../store-samples.js'

test('a new store is made whole, for its owner alone, and nothing else stays beside it', () => {
  const folder = temporaryFolder()
  const file = join(folder, 'store.db')
  makeStoreFile(file)
  expect(readFileSync(file).equals(emptyStore())).toBe(true)
  if (process.platform !== 'win32') expect(statSync(file).mode & 0o777).toBe(0o600)
  expect(readdirSync(folder)).toEqual(['store.db'])
})

test('a file that was made there meanwhile stays as it is', () => {
  const file = join(temporaryFolder(), 'store.db')
  writeFileSync(file, 'of another program')
  makeStoreFile(file)
  expect(readFileSync(file, 'utf8')).toBe('of another program')
})

test('where a link waits for its file, an empty one is made for the steps to fill', () => {
  const folder = temporaryFolder()
  symlinkSync(join(folder, 'elsewhere.db'), join(folder, 'store.db'))
  makeStoreFile(join(folder, 'store.db'))
  expect(readFileSync(join(folder, 'elsewhere.db'))).toHaveLength(0)
  expect(existsSync(join(folder, `store.db.begun-${process.pid}`))).toBe(false)
})
