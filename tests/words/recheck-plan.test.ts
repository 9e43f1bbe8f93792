import { expect, test } from 'vitest'
import { NUMBERED } from '../../src/units/index.js'
import { outlookSentence } from '../../src/words/index.js'

const finest = { withinPercent: 1.74, dial: 4, because: 'days' } as const
const said = (
  withinPercent: number,
  decides: number,
  because: 'days' | 'table' = 'days',
  showsTwice: number | null = 0.97,
) =>
  outlookSentence(
    withinPercent,
    { finest: { ...finest, because }, decides, showsTwice },
    NUMBERED,
  )?.toString() ?? null

test('a recheck says beforehand what no runs can decide, what would make it finer, and how often its runs decide', () => {
  expect(said(1.5, 0)).toBe(
    'No number of runs can show that the table holds within 1.5 %. They cannot show less than 1.8 % at dial 4, because the table stands for the day it was measured on, and days differ. Check runs on other days, made before anything is changed on the machine, show how that day lay and make it finer. Allow more, or go on if a larger change is all that you want to find.',
  )
  expect(said(1.5, 0, 'table')).toContain('More runs at each mark of the table make it finer.')
  expect(said(2, 0.34)).toBe(
    'If nothing moved, these runs decide in about 3 of 10 rechecks within 2 %; where they do not, it asks for runs on another day. Allow more to decide sooner.',
  )
  expect(said(2, 0.34, 'table')).toContain('it asks for more runs.')
  expect(said(3, 0.8)).toBeNull()
  expect(outlookSentence(2, null, NUMBERED)).toBeNull()
})

test('a recheck says beforehand where even a move of twice the tolerance may stay undecided', () => {
  expect(said(3, 0.8, 'days', 0.868)).toBe(
    'A move of 6 %, twice what you allow, is shown in about 86 of 100 rechecks when all runs are made that it asks for on other days as well; else it stays undecided. Check runs on other days, made before anything is changed on the machine, make that surer.',
  )
  expect(said(3, 0.8, 'table', 0.9)).toBe(
    'A move of 6 %, twice what you allow, is shown in about 90 of 100 rechecks when all runs are made that it asks for; else it stays undecided. More runs at each mark of the table make that surer.',
  )
  expect(said(2, 0.34, 'days', 0.5)).toMatch(/^If nothing moved, .* A move of 4 %, twice what you allow, /)
  // Sessions of earlier versions do not tell, and from 95 in 100 on it is what is promised.
  expect(said(3, 0.8, 'days', null)).toBeNull()
  expect(said(3, 0.8, 'days', 0.95)).toBeNull()
})
