import { expect, test } from 'vitest'
import type { NextStep } from '../../../src/page/api.js'
import { EMPTY_DRAFT, settingNow } from '../../../src/page/client/model/timed-setting.js'

const NEXT: NextStep = {
  ...{ step: 3, pass: 1, dial: 2.5, direction: -1 as const },
  ...{ travel: null, timedDistanceMm: 101.6, minimumTimeS: 30 },
}

test('what is timed in a session is the step, over the distance of the plan or the one that was typed', () => {
  const session = { id: 7, next: NEXT }
  const own = { ...EMPTY_DRAFT, distance: { text: '100', unit: 'mm' } } as const
  expect(settingNow({ id: 1 }, session, EMPTY_DRAFT, 'in')).toEqual({
    ...{ axisId: 1, dial: '2.5', direction: -1, distance: { text: '4', unit: 'in' } },
    step: { sessionId: 7, step: 3 },
  })
  expect(settingNow({ id: 1 }, session, own, 'in').distance).toEqual({ text: '100', unit: 'mm' })
})

test('outside a session it is what was typed, and belongs to no step', () => {
  const draft = { dial: '4', direction: 1, distance: { text: '2', unit: 'in' } } as const
  for (const session of [null, { id: 7, next: null }])
    expect(settingNow({ id: 1 }, session, draft, 'mm')).toEqual({ axisId: 1, ...draft, step: null })
})

test('a setting of a dial that carries letters is written as its letter', () => {
  const session = { id: 7, next: { ...NEXT, dial: 3 } }
  expect(settingNow({ id: 1, lettered: true }, session, EMPTY_DRAFT, 'in').dial).toBe('C')
})
