import { describe, expect, it } from 'vitest'
import { onCommandLine } from '../../src/cli/wording.js'
import { UsageError } from '../../src/errors/index.js'
import type { NewAxis } from '../../src/store/index.js'
import { addAxis, JUDGEMENT, LATER, NEW_AXIS, NOW, newRecording, newStore } from './store-samples.js'

function usageError(work: () => unknown): UsageError {
  try {
    work()
  } catch (error) {
    if (error instanceof UsageError) return error
    throw error
  }
  throw new Error('nothing was thrown')
}

describe('machines', () => {
  it('come back as they were added, in order of name', () => {
    const store = newStore()
    const b = store.machines.add({ name: 'Bench mill', unit: 'mm', spindleRpm: [] }, NOW)
    const a = store.machines.add(
      { name: 'a knee mill', unit: 'in', spindleRpm: [80, 135.5], motorPowerW: 750 },
      NOW,
    )
    expect(store.machines.list()).toEqual([a, b])
    // Numbers in names count as numbers.
    for (const name of ['Mill 10', 'Mill 4']) store.machines.add({ name, unit: 'mm', spindleRpm: [] }, NOW)
    expect(
      store.machines
        .list()
        .map(({ name }) => name)
        .slice(2),
    ).toEqual(['Mill 4', 'Mill 10'])
    expect(a).toEqual({
      id: a.id,
      name: 'a knee mill',
      unit: 'in',
      spindleRpm: [80, 135.5],
      motorPowerW: 750,
      createdAt: NOW,
      removedAt: null,
    })
    expect(store.machines.byName('A KNEE MILL')).toEqual(a)
  })

  it('duplicate-machine: a name is taken once, capitals aside, also by a change', () => {
    const store = newStore()
    addAxis(store, 'mill')
    const other = store.machines.add({ name: 'other', unit: 'mm', spindleRpm: [] }, NOW)
    const add = () => store.machines.add({ name: 'MILL', unit: 'in', spindleRpm: [] }, NOW)
    expect(usageError(add).code).toBe('duplicate-machine')
    expect(usageError(() => store.machines.change(other.id, { name: 'Mill' }, NOW)).code).toBe(
      'duplicate-machine',
    )
    expect(store.machines.change(other.id, { name: 'OTHER' }, NOW).name).toBe('OTHER')
  })

  it('bad-machine: no name, or a spindle speed or motor that cannot be', () => {
    const store = newStore()
    for (const bad of [
      { name: ' ', spindleRpm: [] },
      { name: 'a', spindleRpm: [0] },
      { name: 'a', spindleRpm: [], motorPowerW: 0 },
      { name: 'a', spindleRpm: [], motorPowerW: Number.POSITIVE_INFINITY },
      { name: 'a', spindleRpm: [Number.NaN] },
    ]) {
      expect(usageError(() => store.machines.add({ unit: 'mm', ...bad }, NOW)).code).toBe('bad-machine')
    }
    expect(store.machines.list()).toEqual([])
  })

  it('a removed machine keeps its runs, frees its name and can be restored', () => {
    const store = newStore()
    const axis = addAxis(store, 'mill')
    const recording = store.recordings.start(newRecording(axis.id))
    store.runs.add(recording.id, 3, [JUDGEMENT], NOW)
    store.machines.remove(axis.machineId, LATER)
    expect(store.machines.list()).toEqual([])
    expect(store.machines.list({ includeRemoved: true })[0]?.removedAt).toBe(LATER)
    expect(store.runs.list(axis.id)).toHaveLength(1)
    for (const asked of [{}, { machine: 'Mill' }]) {
      const error = usageError(() => store.axes.resolve(asked))
      expect([error.code, error.message]).toEqual(['unknown-machine', 'mill is retired.'])
    }
    const second = store.machines.add({ name: 'mill', unit: 'in', spindleRpm: [] }, LATER)
    expect(usageError(() => store.machines.restore('mill', LATER)).code).toBe('duplicate-machine')
    store.machines.change(second.id, { name: 'new mill' }, LATER)
    expect(store.machines.restore('mill', LATER).id).toBe(axis.machineId)
    expect(store.axes.resolve({ machine: 'mill' }).axis).toEqual(axis)
  })

  it('an axis that is retired is said to be so, with or without its name', () => {
    const store = newStore()
    const axis = addAxis(store, 'mill')
    store.axes.remove(axis.id, LATER)
    for (const asked of [{}, { axis: axis.name }]) {
      const error = usageError(() => store.axes.resolve(asked))
      expect([error.code, error.message]).toEqual(['unknown-axis', `${axis.name} (mill) is retired.`])
    }
  })
})

describe('axes', () => {
  it('bad-axis tells what cannot be and stores nothing', () => {
    const store = newStore()
    const { id } = store.machines.add({ name: 'mill', unit: 'mm', spindleRpm: [] }, NOW)
    const cases: [Partial<NewAxis>, RegExp][] = [
      [{ name: '' }, /name/],
      [{ travelMm: 0 }, /travel/],
      [{ travelMm: Number.POSITIVE_INFINITY }, /travel/],
      [{ dialMin: Number.NaN }, /dial/],
      [{ dialMin: 10, dialMax: 0 }, /10 to 0/],
      [{ marks: [1, 11] }, /mark 11 .* 0 to 10/],
      [{ marks: [1, 3, 3] }, /3 follows 3/],
      [{ marks: [Number.NaN] }, /NaN/],
      [{ stepped: true, marks: [] }, /stepped/],
      [{ leadscrewPitchMm: 0 }, /pitch/],
      [{ pushN: -1 }, /does not push -1 N/],
      [{ pushN: Number.POSITIVE_INFINITY }, /does not push/],
    ]
    for (const [change, message] of cases) {
      const error = usageError(() => store.axes.add(id, { ...NEW_AXIS, ...change }, NOW))
      expect([error.code, error.message]).toEqual(['bad-axis', expect.stringMatching(message)])
    }
    expect(store.axes.list(id)).toEqual([])
  })

  it('axis-measured: what was measured in mm may become degrees, what was measured in inches may not', () => {
    const store = newStore()
    const inches = store.machines.add({ name: 'inch mill', unit: 'in', spindleRpm: [] }, NOW)
    const turning = store.axes.add(inches.id, { ...NEW_AXIS, name: 'A', rotary: true, travelMm: 360 }, NOW)
    expect([turning.rotary, turning.unit]).toEqual([true, 'deg'])
    const straight = store.axes.add(inches.id, NEW_AXIS, NOW)
    expect([straight.rotary, straight.unit]).toEqual([false, 'in'])
    // Nothing was measured yet.
    expect(store.axes.change(straight.id, { rotary: true }, NOW).unit).toBe('deg')
    expect(store.axes.change(straight.id, { rotary: false }, NOW).unit).toBe('in')
    for (const { id } of [straight, turning]) store.recordings.start(newRecording(id))
    expect(usageError(() => store.axes.change(straight.id, { rotary: true }, NOW)).code).toBe('axis-measured')
    expect(usageError(() => store.axes.change(turning.id, { rotary: false }, NOW)).code).toBe('axis-measured')
    const metric = addAxis(store, 'metric mill')
    store.recordings.start(newRecording(metric.id))
    expect(store.axes.change(metric.id, { rotary: true }, NOW).unit).toBe('deg')
  })

  it('changing or removing an axis that has runs keeps the runs and notes before and after', () => {
    const store = newStore()
    const axis = addAxis(store)
    const recording = store.recordings.start(newRecording(axis.id, { dial: 10 }))
    store.runs.add(recording.id, 10, [JUDGEMENT], NOW)
    const changed = store.axes.change(axis.id, { dialMax: 8, marks: [2, 4] }, LATER)
    expect(changed).toEqual({ ...axis, dialMax: 8, marks: [2, 4] })
    store.axes.remove(axis.id, LATER)
    expect(store.axes.list(axis.machineId)).toEqual([])
    expect(store.axes.restore(axis.machineId, 'x', LATER)).toEqual(changed)
    expect(store.runs.list(axis.id)).toHaveLength(1)
    const log = store.history.list(axis.id).filter((entry) => entry.kind === 'change')
    expect(log.map((entry) => [entry.subject, entry.action])).toEqual([
      ['machine', 'add'],
      ['axis', 'add'],
      ['axis', 'change'],
      ['axis', 'remove'],
      ['axis', 'restore'],
    ])
    expect(log[2]).toMatchObject({ at: LATER, before: axis, after: changed })
  })

  it('duplicate-axis on one machine, while another machine may use the name', () => {
    const store = newStore()
    const axis = addAxis(store, 'mill')
    addAxis(store, 'other')
    expect(usageError(() => store.axes.add(axis.machineId, { ...NEW_AXIS, name: 'x' }, NOW)).code).toBe(
      'duplicate-axis',
    )
  })
})

describe('axes.resolve(asked)', () => {
  it('gives the only axis where nothing is said, and the named one otherwise', () => {
    const store = newStore()
    const x = addAxis(store, 'mill')
    expect(store.axes.resolve({}).axis).toEqual(x)
    expect(store.axes.resolve({ axis: 'x' }).machine.name).toBe('mill')
    const y = store.axes.add(x.machineId, { ...NEW_AXIS, name: 'Y' }, NOW)
    expect(store.axes.resolve({ axis: 'Y' }).axis).toEqual(y)
    store.machines.add({ name: 'without axes', unit: 'mm', spindleRpm: [] }, NOW)
    expect(store.axes.resolve({ axis: 'Y' }).axis).toEqual(y)
  })

  it('names what is known, and a way out, where the answer is not clear', () => {
    const store = newStore()
    const empty = usageError(() => store.axes.resolve({ machine: 'mill' }))
    expect([empty.code, onCommandLine(empty.said.hint)]).toEqual([
      'unknown-machine',
      expect.stringContaining('tablepace machine add'),
    ])
    const bare = store.machines.add({ name: 'bare', unit: 'mm', spindleRpm: [] }, NOW)
    const noAxis = usageError(() => store.axes.resolve({}))
    expect([noAxis.code, onCommandLine(noAxis.said.hint)]).toEqual([
      'unknown-axis',
      expect.stringContaining('tablepace axis add'),
    ])
    store.machines.remove(bare.id, NOW)
    const x = addAxis(store, 'mill')
    store.axes.add(x.machineId, { ...NEW_AXIS, name: 'Y' }, NOW)
    const cases: [{ machine?: string; axis?: string }, string, RegExp][] = [
      [{}, 'which-axis', /X, Y/],
      [{ machine: 'lathe' }, 'unknown-machine', /lathe.*mill/],
      [{ axis: 'Z' }, 'unknown-axis', /Z.*X \(mill\), Y \(mill\)/],
    ]
    for (const [asked, code, message] of cases) {
      const error = usageError(() => store.axes.resolve(asked))
      expect([error.code, error.message]).toEqual([code, expect.stringMatching(message)])
    }
    addAxis(store, 'second')
    const which = usageError(() => store.axes.resolve({ axis: 'X' }))
    expect([which.code, which.message]).toEqual(['which-machine', expect.stringMatching(/mill, second/)])
    expect(store.axes.resolve({ machine: 'second' }).axis.name).toBe('X')
  })
})
