import { join } from 'node:path'
import { expect, it } from 'vitest'
import { addAxis } from '../../../src/jobs/index.js'
import { openStore } from '../../../src/store/index.js'
import { temporaryFolder } from '../../harness/program.js'

const NOW = '2026-03-02T09:00:00.000Z'
const DIAL = {
  ...{ name: 'X', travelMm: 500, dialMin: 1, dialMax: 8, marks: [2, 4], stepped: true },
  ...{ leadscrewPitchMm: null, dialClicks: false },
}

it('adds one axis for each range of a dial, all or none, and the store keeps which dial each is of', () => {
  const path = join(temporaryFolder(), 'store.db')
  const store = openStore(path, { mode: 'write' })
  const { id } = store.machines.add({ name: 'Mill', unit: 'in', spindleRpm: [] }, NOW)
  expect(addAxis(store, id, { ...DIAL, name: 'Y' }, [], NOW)).toMatchObject([{ name: 'Y' }])
  const added = addAxis(store, id, DIAL, ['LO', 'HI'], NOW)
  expect(added.map(({ name }) => name)).toEqual(['X-LO', 'X-HI'])
  // HI is there already, so that MID is not added either.
  expect(() => addAxis(store, id, DIAL, ['MID', 'HI'], NOW)).toThrow('already has an axis called X-HI')
  // Other changes leave an axis the range that it is.
  store.axes.change(added[1]!.id, { travelMm: 400 }, NOW)
  store.close()

  const again = openStore(path, { mode: 'read' })
  try {
    expect(again.axes.list(id).map(({ name, range, travelMm }) => ({ name, range, travelMm }))).toEqual([
      { name: 'X-HI', range: { of: 'X', name: 'HI' }, travelMm: 400 },
      { name: 'X-LO', range: { of: 'X', name: 'LO' }, travelMm: 500 },
      { name: 'Y', range: undefined, travelMm: 500 },
    ])
    expect(again.axes.ranges({ axis: 'x' }).map(({ axis }) => axis.name)).toEqual(['X-HI', 'X-LO'])
    expect(again.axes.ranges({ axis: 'X-HI' })).toEqual([])
    expect(() => again.axes.resolve({ axis: 'X' })).toThrow(expect.objectContaining({ code: 'which-range' }))
  } finally {
    again.close()
  }
})
