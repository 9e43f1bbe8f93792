import { describe, expect, it } from 'vitest'
import type { StartAnswer } from '../../../../src/page/api.js'
import type { AddedAxis, AddedMachine, MachinesAnswer } from '../../../../src/page/machine-api.js'
import { servedStore } from '../../../harness/browser.js'
import { pageApi } from '../../../harness/page-api.js'

const AXIS = {
  ...{ name: 'Y', travel: '9 1/2', lowest: '0', highest: '100', marks: '10, 20; 30' },
  ...{ stepped: false, clicks: false, pitch: '' },
}
const MACHINE = { name: 'Bench lathe', unit: 'in', spindle: '90 140 225', motor: '1hp' }

describe('machines and axes on the page', () => {
  it('are added, changed, put away and brought back, and the command line sees the same', async () => {
    const { store, served, axisId } = await servedStore([1])
    const { ask, tell } = pageApi(served)
    const axis = { ...AXIS, marks: '10, 20 , 30' }
    const added = await tell<AddedMachine>('machine/add', { ...MACHINE, axis })
    expect(store.machines.byName('bench lathe')).toMatchObject({
      ...{ id: added.machineId, unit: 'in', spindleRpm: [90, 140, 225] },
      motorPowerW: expect.closeTo(745.7, 1),
    })
    expect(store.axes.byId(added.axisId!)).toMatchObject({
      ...{ name: 'Y', travelMm: 9.5 * 25.4, dialMin: 0, dialMax: 100, marks: [10, 20, 30] },
      ...{ stepped: false, dialClicks: false, leadscrewPitchMm: null },
    })
    const other = await tell<AddedAxis>('axis/add', {
      ...{ ...AXIS, name: 'Z', travel: '100mm', marks: '1 2 3', lowest: '1', highest: '3' },
      ...{ machineId: added.machineId, stepped: true, clicks: true, pitch: '0.125' },
      ...{ plusWay: ' left', minusWay: 'right', push: '60lbf' },
    })
    expect(store.axes.byId(other.axisId)).toMatchObject({
      ...{ travelMm: 100, stepped: true, dialClicks: true, leadscrewPitchMm: 0.125 * 25.4 },
      ways: { plus: 'left', minus: 'right' },
      pushN: expect.closeTo(266.893, 3),
    })
    await tell('axis/change', { ...axis, axisId: added.axisId, name: 'Cross', travel: '10' })
    expect(store.axes.byId(added.axisId!)).toMatchObject({ name: 'Cross', travelMm: 254 })
    await tell('machine/change', {
      ...{ ...MACHINE, machineId: added.machineId, unit: 'mm', spindle: '', motor: '' },
    })
    expect(store.machines.byId(added.machineId)).toMatchObject({
      ...{ unit: 'mm', spindleRpm: [], motorPowerW: null },
    })

    await tell('axis/retire', { axisId: other.axisId })
    await tell('machine/retire', { machineId: added.machineId })
    const shown = async (): Promise<string[]> =>
      (await ask<StartAnswer>('start')).machines.flatMap((one) =>
        one.axes.map((each) => `${one.name} ${each.name}`),
      )
    expect(await shown()).toEqual(['Bench <1> X'])
    const { machines } = await ask<MachinesAnswer>('machines')
    expect(
      machines.map((one) => [one.name, one.removedAt !== null, one.axes.map((each) => each.name)]),
    ).toEqual([
      ['Bench <1>', false, ['X']],
      ['Bench lathe', true, ['Cross', 'Z']],
    ])
    await tell('machine/bring-back', { machineId: added.machineId })
    await tell('axis/bring-back', { axisId: other.axisId })
    expect(await shown()).toEqual(['Bench <1> X', 'Bench lathe Cross', 'Bench lathe Z'])
    expect(store.history.list(axisId).length).toBeGreaterThan(0)
  })

  it('adds nothing where one field is wrong, and names the field', async () => {
    const { store, served } = await servedStore([1])
    const { tell } = pageApi(served)
    for (const [wrong, message] of [
      [{ axis: { ...AXIS, marks: '', travel: 'long' } }, /Travel: /],
      [{ axis: { ...AXIS, marks: '10,20,x' } }, /Marks: .*x/],
      [{ axis: { ...AXIS, marks: '', lowest: '' } }, /Lowest number: /],
      [{ axis: { ...AXIS, marks: '200' } }, /mark 200 lies outside the dial/],
      [{ axis: { ...AXIS, marks: '', plusWay: 'left' } }, /both directions need a word, or neither/],
      [{ axis: null, spindle: '0' }, /A spindle speed of 0 rpm is not possible/],
      [{ axis: null, motor: 'strong' }, /Motor power: /],
      [{ axis: null, name: ' ' }, /A machine needs a name/],
      [{ axis: null, name: 'bench <1>' }, /already a machine called Bench <1>/],
    ] as const) {
      const error = await tell('machine/add', { ...MACHINE, ...wrong }).catch(String)
      expect(error).toMatch(message)
      expect(error).not.toMatch(/tablepace [a-z]+|--[a-z]/)
    }
    expect(store.machines.list()).toHaveLength(1)
  })
})
