import { expect, it } from 'vitest'
import { lookupAsked, partAsked } from '../../src/cli/command-asked.js'

const asked = (line: string) => lookupAsked(line.split(' '))

it('knows a lookup, wherever its options stand', () => {
  expect(asked('dial 7in/min')).toBe('dial')
  expect(asked('--store a.db --json feed 3.5')).toBe('feed')
  expect(asked('--machine feed --axis X dial 7')).toBe('dial')
  expect(asked('feed 3 --direction -')).toBe('feed')
})

it('leaves everything else, the help of a lookup and what no table holds to the whole program', () => {
  for (const line of [
    '',
    'machine show dial',
    'sheet --to dial',
    '--store dial',
    'dial --help',
    'feed Rapid',
    'dial 7 --load cutting',
    'feed 3 --load=cutting',
    'cut dial',
    'backup --to feed',
  ]) {
    expect([line, asked(line)]).toEqual([line, null])
  }
})

it('names the part of the program by its command, never by what could not be a name of a file', () => {
  const named = [['machine', 'list'], ['--store', 'runs', 'fit'], ['dial', '-h'], ['../x'], []].map(partAsked)
  expect(named).toEqual(['program-machine', 'program-fit', 'program-help', 'program', 'program'])
})
