import { expect, it } from 'vitest'
import { asksLookup } from '../../src/cli/asks-lookup.js'

const isLookup = (line: string) => asksLookup(line.split(' '))

it('knows a lookup, wherever its options stand', () => {
  for (const line of [
    'dial 7in/min',
    '--store a.db --json feed 3.5',
    '--machine dial --axis X dial 7',
    'feed 3 --direction -',
  ]) {
    expect([line, isLookup(line)]).toEqual([line, true])
  }
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
    expect([line, isLookup(line)]).toEqual([line, false])
  }
})
