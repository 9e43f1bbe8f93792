import { describe, expect, it } from 'vitest'
import {
  numberAt,
  passesAtS,
  practiceMovements,
  practiceTimeS,
  USUAL_ROUNDS,
} from '../../../src/planning/practice/index.js'

describe('practiceMovements(rounds)', () => {
  const movements = practiceMovements(USUAL_ROUNDS)

  it('takes about two minutes, with time to look before each mark', () => {
    const total = practiceTimeS(movements)
    expect(total).toBeGreaterThan(70)
    expect(total).toBeLessThan(130)
    for (const movement of movements) {
      const startS = passesAtS(movement, movement.startMark)
      expect(startS).toBeGreaterThan(2)
      expect(passesAtS(movement, movement.stopMark) - startS).toBeGreaterThan(2.5)
    }
  })

  it('goes both ways at different speeds, and no two movements are alike', () => {
    expect(new Set(movements.map((movement) => Math.sign(movement.perS))).size).toBe(2)
    expect(new Set(movements.map((movement) => JSON.stringify(movement))).size).toBe(USUAL_ROUNDS)
  })

  it('passes each mark when it says', () => {
    for (const movement of movements) {
      expect(numberAt(movement, passesAtS(movement, movement.startMark))).toBeCloseTo(movement.startMark, 9)
      expect(numberAt(movement, passesAtS(movement, movement.stopMark))).toBeCloseTo(movement.stopMark, 9)
    }
  })
})
