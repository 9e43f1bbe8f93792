import { expect, it, onTestFinished, vi } from 'vitest'
import { Connection } from '../../src/store/file/connection.js'
import { openStore, type Store } from '../../src/store/index.js'
import { addAxis, JUDGEMENT, NOW, newRecording, newStore } from './store-samples.js'

/** Another program on the same store, which stores a run, once, just before the tallies of the axis are looked at. */
function storesMeanwhile(store: Store, axisId: number): () => number {
  const other = openStore(store.path, { mode: 'write' })
  onTestFinished(() => other.close())
  const get = Connection.prototype.get
  let stored = 0
  const spy = vi.spyOn(Connection.prototype, 'get').mockImplementation(function (
    this: Connection,
    sql,
    ...values
  ) {
    if (/_tally WHERE/.test(sql) && stored === 0) {
      stored += 1
      const { id } = other.recordings.start(newRecording(axisId, { dial: 3 }))
      other.recordings.appendLines(id, [{ timeS: 0, text: 'X 1' }])
      other.runs.add(id, 3, [JUDGEMENT], NOW)
    }
    return get.call(this, sql, ...values) as never
  })
  onTestFinished(() => spy.mockRestore())
  return () => stored
}

it('a store that another program writes to meanwhile is not taken for damaged', () => {
  for (const read of [
    (store: Store, axisId: number) => store.recordings.list(axisId).length,
    (store: Store, axisId: number) => store.runs.list(axisId).length,
    (store: Store) => (store.integrityCheck().sound ? 1 : -1),
  ]) {
    const store = newStore()
    const axis = addAxis(store)
    const { id } = store.recordings.start(newRecording(axis.id, { dial: 3 }))
    store.runs.add(id, 3, [JUDGEMENT], NOW)
    const stored = storesMeanwhile(store, axis.id)
    expect(read(store, axis.id)).toBe(1)
    expect(stored()).toBe(1)
    vi.restoreAllMocks()
  }
})

it('a recording that grows while it is read is not taken for damaged', () => {
  const store = newStore()
  const other = openStore(store.path, { mode: 'write' })
  onTestFinished(() => other.close())
  const { id } = other.recordings.start(newRecording(addAxis(store).id, { dial: 3 }))
  other.recordings.appendLines(id, [{ timeS: 0, text: 'X 1' }])
  const lines = store.recordings.lines(id)[Symbol.iterator]()
  lines.next()
  const get = Connection.prototype.get
  let grown = false
  const spy = vi.spyOn(Connection.prototype, 'get').mockImplementation(function (
    this: Connection,
    sql,
    ...values
  ) {
    if (/recording_tally/.test(sql) && !grown) {
      grown = true
      other.recordings.appendLines(id, [{ timeS: 1, text: 'X 2' }])
    }
    return get.call(this, sql, ...values) as never
  })
  onTestFinished(() => spy.mockRestore())
  expect(lines.next().done).toBe(true)
  expect(grown).toBe(true)
})
