import { join } from 'node:path'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { openStore, type Store } from '../../../src/store/index.js'
import { howMany } from '../../harness/proof-mode.js'
import {
  addAxis,
  fittedAxis,
  JUDGEMENT,
  NEW_AXIS,
  NOW,
  newRecording,
  newStore,
  temporaryFolder,
} from '../store-samples.js'

const METHOD = { name: 'dial-curve', version: '9' }

/** The minute of an event; times tell which change was the later one. */
function at(minute: number): string {
  return new Date(Date.parse(NOW) + 60_000 * minute).toISOString()
}

function axisOf(store: Store, machine = 'knee mill') {
  return store.axes.list(store.machines.byName(machine).id)[0]!
}

function record(store: Store, dial: number, minute: number, machine?: string) {
  const axis = axisOf(store, machine)
  const recording = store.recordings.start(newRecording(axis.id, { dial, startedAt: at(minute) }))
  store.recordings.appendLines(recording.id, [{ timeS: minute, text: `X ${dial}` }])
  store.recordings.end(recording.id, at(minute))
  return store.runs.add(recording.id, dial, [JUDGEMENT], at(minute))[0]!
}

function refit(store: Store, minute: number, machine?: string) {
  const axis = axisOf(store, machine)
  const runIds = store.runs.list(axis.id).map((run) => run.id)
  return store.tables.save({
    axisId: axis.id,
    fitted: fittedAxis(runIds),
    method: METHOD,
    fittedAt: at(minute),
    reason: null,
  })
}

function recheck(store: Store, minute: number) {
  const axis = axisOf(store)
  const table = store.tables.inForce(axis.id, 1)
  store.history.addRecheck({
    axisId: axis.id,
    at: at(minute),
    reason: 'gibs',
    withinPercent: 3,
    verdict: 'holds',
    result: {},
    runIds: [],
    tables: table === null ? [] : [{ direction: 1, version: table.version }],
  })
}

function practise(store: Store, minute: number) {
  store.practices.add({ person: `Ada ${minute % 3}`, at: at(minute), rounds: [] })
}

/** Everything a store knows, without the numbers that only count in one store. */
function knowledge(store: Store): unknown {
  const machines = store.machines.list({ includeRemoved: true }).map((machine) => ({
    name: machine.name,
    axes: store.axes.list(machine.id, { includeRemoved: true }).map((axis) => ({
      name: axis.name,
      runs: store.runs.list(axis.id).map(({ axisId: _, sessionId: __, ...run }) => ({
        ...run,
        lines: [...store.recordings.lines(run.recordingId)],
      })),
      tables: store.tables
        .list(axis.id)
        .map(({ direction, version }) => store.tables.version(axis.id, direction, version))
        .map(({ direction, hash, fittedAt, runIds, marks }) => ({ direction, hash, fittedAt, runIds, marks }))
        .sort((a, b) => (JSON.stringify(a) < JSON.stringify(b) ? -1 : 1)),
      inForce: [store.tables.inForce(axis.id, 1)?.fittedAt, store.tables.inForce(axis.id, -1)?.fittedAt],
      history: store.history
        .list(axis.id)
        .filter((entry) => entry.kind !== 'table')
        .map((entry) =>
          entry.kind === 'recheck' ? [entry.at, entry.reason] : [entry.at, entry.subject, entry.action],
        )
        .map(String)
        .sort(),
    })),
  }))
  return { machines, practices: store.practices.latestOfAll() }
}

/** A copy of a store in a folder of its own. */
function copyOf(store: Store): Store {
  const path = join(temporaryFolder(), 'copy.db')
  store.backupTo(path)
  return openStore(path, { mode: 'write' })
}

/** One store and its copy, each then used on its own. */
function twoStores(): [Store, Store] {
  const store = newStore()
  addAxis(store)
  record(store, 3, 0)
  record(store, 5, 1)
  refit(store, 2)
  return [store, copyOf(store)]
}

type Deed = (store: Store, minute: number) => void

const DEEDS: Readonly<Record<string, Deed>> = {
  record: (store, minute) => record(store, 1 + (minute % 7), minute),
  refit: (store, minute) => refit(store, minute),
  recheck,
  practise,
  drop: (store, minute) => {
    const runs = store.runs.list(axisOf(store).id)
    store.runs.drop(runs[minute % runs.length]!.id, 'no good', at(minute))
  },
  keep: (store, minute) => {
    const runs = store.runs.list(axisOf(store).id)
    store.runs.keep(runs[minute % runs.length]!.id, at(minute))
  },
  judgeAgain: (store, minute) => {
    const runs = store.runs.list(axisOf(store).id)
    store.runs.replaceJudgement(
      runs[minute % runs.length]!.id,
      { ...JUDGEMENT, durationS: minute },
      at(minute),
    )
  },
  lathe: (store, minute) => {
    if (!store.machines.list().some(({ name }) => name === 'lathe')) addAxis(store, 'lathe')
    record(store, 2, minute, 'lathe')
    refit(store, minute, 'lathe')
  },
}

describe('store.mergeFrom(path)', () => {
  it('comes to the same whichever store takes in the other, and the second time to nothing', () => {
    const deeds = fc.array(fc.tuple(fc.constantFrom(...Object.keys(DEEDS)), fc.boolean()), { maxLength: 14 })
    fc.assert(
      fc.property(deeds, (done) => {
        const [a, b] = twoStores()
        for (const [index, [deed, first]] of done.entries()) DEEDS[deed]!(first ? a : b, 10 + index)
        const [before, other] = [copyOf(a), copyOf(b)]
        expect(a.mergeFrom(b.path).conflicts).toEqual([])
        expect(b.mergeFrom(before.path).conflicts).toEqual([])
        expect(knowledge(a)).toEqual(knowledge(b))
        const again = a.mergeFrom(other.path)
        expect(Object.values(again).filter((count) => typeof count === 'number' && count > 0)).toEqual([])
        expect(a.integrityCheck()).toEqual({ sound: true, problems: [] })
        for (const store of [a, b, before, other]) store.close()
      }),
      { numRuns: howMany(4, 40) },
    )
  })

  it('takes everything into an empty store', () => {
    const [a] = twoStores()
    recheck(a, 5)
    practise(a, 6)
    const empty = newStore()
    expect(empty.mergeFrom(a.path)).toEqual({
      machines: 1,
      axes: 1,
      recordings: 2,
      lengthenedRecordings: 0,
      runs: 2,
      changedRuns: 0,
      tables: 2,
      rechecks: 1,
      practices: 1,
      cutNotes: 0,
      conflicts: [],
    })
    expect(knowledge(empty)).toEqual(knowledge(a))
  })

  it('takes the timing exercises of people, each once', () => {
    const [a, b] = twoStores()
    const rounds = [0.1, 0.2, 0.15].map((startLateS) => ({ startLateS, stopLateS: 0.1 }))
    a.practices.add({ person: 'Ann', at: at(1), rounds })
    b.practices.add({ person: 'Ann', at: at(2), rounds: rounds.slice(1) })
    b.practices.add({ person: 'Ben', at: at(3), rounds })
    a.mergeFrom(b.path)
    a.mergeFrom(b.path)
    expect(a.practices.latestOfAll()).toEqual([
      { person: 'Ann', at: at(2), rounds: rounds.slice(1) },
      { person: 'Ben', at: at(3), rounds },
    ])
    b.mergeFrom(a.path)
    expect(b.practices.latest('ann')!.at).toBe(at(2))
  })

  it('keeps the newer table in force, whatever comes in later', () => {
    const [a, b] = twoStores()
    refit(a, 30)
    refit(b, 20)
    a.mergeFrom(b.path)
    expect(a.tables.inForce(axisOf(a).id, 1)).toMatchObject({ fittedAt: at(30), version: 2 })
    expect(a.tables.version(axisOf(a).id, 1, 3)).toMatchObject({ fittedAt: at(20), parentVersion: 1 })
  })

  it('brings a recording that was copied while it was written to its full length', () => {
    const store = newStore()
    const axis = addAxis(store)
    const { id } = store.recordings.start(newRecording(axis.id))
    store.recordings.appendLines(id, [{ timeS: 1, text: 'X 1' }])
    const early = copyOf(store)
    store.recordings.appendLines(id, [{ timeS: 2, text: 'X 2' }])
    store.recordings.end(id, at(1))
    expect(early.mergeFrom(store.path).lengthenedRecordings).toBe(1)
    expect([...early.recordings.lines(id)]).toHaveLength(2)
    expect(early.recordings.get(id).endedAt).toBe(at(1))
    expect(store.mergeFrom(early.path).lengthenedRecordings).toBe(0)
  })

  it('shows what differs and keeps what was here', () => {
    const here = newStore()
    addAxis(here)
    record(here, 3, 1)
    const there = newStore()
    const { id } = there.machines.add({ name: 'Knee Mill', unit: 'mm', spindleRpm: [100] }, NOW)
    there.axes.add(id, { ...NEW_AXIS, travelMm: 500 }, NOW)
    there.axes.add(id, { ...NEW_AXIS, name: 'Y' }, NOW)
    record(there, 4, 2, 'Knee Mill')
    const report = here.mergeFrom(there.path)
    expect(report.conflicts.map(({ code }) => code)).toEqual(['other-spindle', 'other-travel'])
    expect(report).toMatchObject({ machines: 0, axes: 1, runs: 1 })
    expect(axisOf(here).travelMm).toBe(NEW_AXIS.travelMm)

    const inches = newStore()
    inches.machines.add({ name: 'knee mill', unit: 'in', spindleRpm: [] }, NOW)
    const refused = here.mergeFrom(inches.path)
    expect(refused.conflicts[0]).toEqual({
      code: 'other-unit',
      message: 'knee mill is in mm here and in in there; nothing of it was brought in.',
    })
    const motor = (motorPowerW: number) => {
      const store = newStore()
      store.machines.add({ name: 'lathe', unit: 'mm', spindleRpm: [], motorPowerW }, NOW)
      return store
    }
    expect(motor(750).mergeFrom(motor(1100).path).conflicts[0]?.message).toBe(
      'lathe has a motor of 750 W here and of 1100 W there; the one here was kept.',
    )
    const turning = newStore()
    addAxis(turning, 'knee mill', { rotary: true })
    expect(here.mergeFrom(turning.path).conflicts[0]?.message).toMatch(/turns there and is straight here/)
    const stepped = newStore()
    addAxis(stepped, 'knee mill', { stepped: true })
    expect(here.mergeFrom(stepped.path).conflicts.map(({ code }) => code)).toEqual(['other-dial'])
  })

  it('learns what was not known here', () => {
    const here = newStore()
    here.machines.add({ name: 'knee mill', unit: 'mm', spindleRpm: [] }, NOW)
    const there = newStore()
    addAxis(there)
    expect(here.mergeFrom(there.path).conflicts).toEqual([])
    expect(here.machines.byName('knee mill').spindleRpm).toEqual([110, 205, 385])
    expect(there.mergeFrom(here.path).conflicts).toEqual([])
  })

  it('keeps one of two judgements of the same recording, and leaves out the table that stands on the other', () => {
    const store = newStore()
    const axis = addAxis(store)
    const { id } = store.recordings.start(newRecording(axis.id))
    store.recordings.appendLines(id, [{ timeS: 1, text: 'X 1' }])
    const other = copyOf(store)
    store.runs.add(id, 3, [JUDGEMENT], at(3))
    other.runs.add(id, 3, [JUDGEMENT], at(4))
    refit(other, 5)
    expect(store.mergeFrom(other.path).conflicts.map(({ code }) => code)).toEqual([
      'judged-twice',
      'table-without-runs',
    ])
    expect(store.integrityCheck().sound).toBe(true)
  })

  it('changes nothing where the other file is not a store', () => {
    const [a] = twoStores()
    const before = knowledge(a)
    expect(() => a.mergeFrom(import.meta.filename)).toThrow(/store/)
    expect(knowledge(a)).toEqual(before)
  })
})
