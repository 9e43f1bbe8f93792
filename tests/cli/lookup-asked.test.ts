import { expect, it } from 'vitest'
import { lookupAsked } from '../../src/cli/lookup-asked.js'

const asked = (line: string) => lookupAsked(line.split(' '))

it('knows a lookup, wherever its options stand', () => {
  expect(asked('dial 7in/min')).toBe('dial')
  expect(asked('--store a.db --json feed 3.5')).toBe('feed')
  expect(asked('--machine feed --axis X dial 7')).toBe('dial')
  expect(asked('feed 3 --direction -')).toBe('feed')
})

it('leaves everything else, and the help of a lookup, to the whole program', () => {
  for (const line of [
    '',
    'machine show dial',
    'sheet --to dial',
    '--store dial',
    'dial --help',
    'cut dial',
    'backup --to feed',
  ]) {
    expect([line, asked(line)]).toEqual([line, null])
  }
})
