import { expect, test } from 'vitest'
import { COMMANDS } from '../../src/cli/wording.js'
import { DataError, sentence, way } from '../../src/errors/index.js'

test('a sentence is whole without any face, and a face adds its way', () => {
  const said = sentence`Make one${way('fit')}.`
  expect(String(said)).toBe('Make one.')
  expect(JSON.stringify({ said })).toBe('{"said":"Make one."}')
  expect(said.in(COMMANDS)).toBe('Make one with `tablepace fit`.')
})

test('a way is told what it is about', () => {
  const said = sentence`Change the dial${way('change-dial', { axis: 'X' })}.`
  expect(said.in(COMMANDS)).toBe('Change the dial with `tablepace axis change X --dial MIN..MAX`.')
})

test('sentences go into sentences with their ways', () => {
  const inner = sentence`Make one${way('fit')}.`
  expect(sentence`There are ${0} tables. ${inner}`.in(COMMANDS)).toBe(
    'There are 0 tables. Make one with `tablepace fit`.',
  )
})

test('an error is plain for whoever knows no face, and keeps its ways for one that does', () => {
  const error = new DataError('no-table', 'There is no table.', sentence`Make one${way('fit')}.`)
  expect(error.hint).toBe('Make one.')
  expect(String(error.inFull)).toBe('There is no table. Make one.')
  expect(error.inFull.in(COMMANDS)).toBe('There is no table. Make one with `tablepace fit`.')
  expect(Object.keys(error)).not.toContain('said')
})
