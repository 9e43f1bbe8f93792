import { describe, expect, it } from 'vitest'
import { checkDial } from '../../../src/jobs/index.js'
import type { Axis } from '../../../src/store/index.js'

const AXIS: Axis = {
  id: 1,
  machineId: 1,
  name: 'X',
  travelMm: 500,
  dialMin: 0,
  dialMax: 10,
  marks: [1, 2, 4],
  stepped: false,
  leadscrewPitchMm: null,
  dialClicks: false,
  ways: null,
  pushN: null,
  rotary: false,
  unit: 'mm',
  createdAt: '2026-03-01T10:00:00.000Z',
  removedAt: null,
}

describe('checkDial(axis, dial)', () => {
  it('lets through what the dial has, also between marks, and the rapid traverse', () => {
    for (const dial of [0, 3.5, 10, 'rapid'] as const) expect(checkDial(AXIS, dial)).toBe(dial)
  })

  it('refuses a number outside the dial, naming its range', () => {
    for (const dial of [-0.1, 10.5]) {
      expect(() => checkDial(AXIS, dial)).toThrow(
        expect.objectContaining({ code: 'dial-outside-range', message: expect.stringContaining('0 to 10') }),
      )
    }
  })

  it('refuses a number between the marks of a stepped dial, naming them', () => {
    const stepped = { ...AXIS, stepped: true }
    expect(checkDial(stepped, 4)).toBe(4)
    expect(() => checkDial(stepped, 3)).toThrow(
      expect.objectContaining({ code: 'not-a-mark', hint: expect.stringContaining('1, 2, 4') }),
    )
  })
})
