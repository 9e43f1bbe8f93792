import { expect, test } from 'vitest'
import type { Axis } from '../../src/store/index.js'
import { inForceSentence } from '../../src/words/axis-state.js'

const AXIS = { name: 'X' } as Axis

test('says how old a table is, and what its last recheck said of how far the feeds moved', () => {
  const said = (verdict: 'holds' | 'moved' | 'undecided') =>
    inForceSentence(AXIS, {
      ...{ direction: 1, version: 2, ageDays: 12.7, fittedAt: '2026-02-18T09:00:00.000Z' },
      lastRecheck: { verdict, withinPercent: 3, at: '2026-03-02T09:00:00.000Z', ageDays: 1.2 },
    })
  const table = 'axis X: table 2 of direction + is 12 days old, last rechecked 1 day ago: '
  expect(said('holds')).toBe(`${table}holds within 3 %.`)
  expect(said('moved')).toBe(`${table}moved by more than 3 %.`)
  expect(said('undecided')).toBe(`${table}not decided within 3 %.`)
})
