import { readFileSync, symlinkSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { freeName, giveName } from '../../src/files/index.js'
import { temporaryFolder } from '../harness/program.js'

it('giveName(file, name) gives no name that something has, a loose link included', () => {
  const place = temporaryFolder()
  const at = (name: string) => join(place, name)
  for (const name of ['file', 'taken']) writeFileSync(at(name), name)
  symlinkSync(at('nowhere'), at('loose'))
  for (const name of ['taken', 'loose']) expect(() => giveName(at('file'), at(name))).toThrow(/EEXIST/)
  giveName(at('file'), at('other'))
  expect([readFileSync(at('other'), 'utf8'), readFileSync(at('taken'), 'utf8')]).toEqual(['file', 'taken'])
})

it('freeName(name, endings) counts on until nothing has the name with any of the endings', () => {
  const place = temporaryFolder()
  const name = join(place, 'kept')
  expect(freeName(name, ['-wal'])).toBe(name)
  writeFileSync(`${name}-wal`, '')
  writeFileSync(`${name}-2`, '')
  expect(freeName(name, ['-wal'])).toBe(`${name}-3`)
  expect(freeName(name)).toBe(name)
})
