import { expect, test } from 'vitest'
import { NUMBERED } from '../../src/units/index.js'
import { outlookSentence } from '../../src/words/index.js'

const finest = { withinPercent: 1.74, dial: 4, because: 'days' } as const
const said = (withinPercent: number, decides: number, because: 'days' | 'table' = 'days') =>
  outlookSentence(withinPercent, { finest: { ...finest, because }, decides }, NUMBERED)?.toString() ?? null

test('a recheck says beforehand what no runs can decide, what would make it finer, and how often its runs decide', () => {
  expect(said(1.5, 0)).toBe(
    'No number of runs can show that the table holds within 1.5 %. They cannot show less than 1.8 % at dial 4, because the table stands for the day it was measured on, and days differ. Check runs on other days, made before anything is changed on the machine, show how that day lay and make it finer. Allow more, unless it is enough to be told of a change that is larger.',
  )
  expect(said(1.5, 0, 'table')).toContain('More runs at each mark of the table make it finer.')
  expect(said(2, 0.34)).toBe(
    'If nothing moved, these runs decide in about 3 of 10 rechecks within 2 %; where they do not, it asks for runs on another day. Allow more to decide sooner.',
  )
  expect(said(2, 0.34, 'table')).toContain('it asks for more runs.')
  expect(said(3, 0.8)).toBeNull()
  expect(outlookSentence(2, null, NUMBERED)).toBeNull()
})
