import { join } from 'node:path'
import { describe, expect, it, onTestFinished } from 'vitest'
import { expectedSweeps, sweepCalibration } from '../../../src/jobs/index.js'
import { openStore } from '../../../src/store/index.js'
import { temporaryFolder } from '../../harness/program.js'

const AT = '2026-03-01T08:00:00.000Z'

function axisWith(marks: readonly number[]) {
  const store = openStore(join(temporaryFolder(), 'store.db'), { mode: 'write' })
  onTestFinished(() => store.close())
  const machine = store.machines.add({ name: 'Bench', unit: 'in', spindleRpm: [] }, AT)
  const fields = { name: 'X', travelMm: 500, dialMin: 0, dialMax: 10, stepped: false, dialClicks: false }
  return { store, axis: store.axes.add(machine.id, { ...fields, marks, leadscrewPitchMm: 5 }, AT) }
}

describe('a calibration by travels through many settings', () => {
  it('asks for every mark twice each way, up the dial one way and down it the other', () => {
    const { store, axis } = axisWith([2, 5, 8])
    const sweeps = sweepCalibration(store, axis, [1, -1], AT)
    expect(sweeps.missing).toBe(12)
    expect(sweeps.next()).toMatchObject({ dials: [2, 5, 8], direction: 1 })
    expect(sweeps.next()).toMatchObject({ dials: [8, 5, 2], direction: -1 })
    expect(expectedSweeps(store, axis, [1, -1], AT)).toMatchObject({ runs: 12 })
    expect(expectedSweeps(store, axis, [1], AT)!.minutes).toBeGreaterThan(0)
  })

  it('needs marks to turn to', () => {
    const { store, axis } = axisWith([5])
    expect(() => sweepCalibration(store, axis, [1], AT)).toThrow(
      /settings to turn through on axis X are not entered/,
    )
    expect(expectedSweeps(store, axis, [1], AT)).toBeNull()
  })
})
