import Database from 'better-sqlite3'
import { describe, expect, it } from 'vitest'
import { tableHash } from '../../src/store/index.js'
import {
  addAxis,
  fittedAxis,
  fittedDirection,
  JUDGEMENT,
  LATER,
  NOW,
  newRecording,
  newStore,
} from './store-samples.js'

const METHOD = { name: 'dial-curve', version: '1' }

function storeWithRuns() {
  const store = newStore()
  const axis = addAxis(store)
  const { id } = store.recordings.start(newRecording(axis.id))
  const runIds = store.runs.add(id, 3, [JUDGEMENT, JUDGEMENT], NOW).map((run) => run.id)
  return { store, axis, runIds }
}

function newFit(axisId: number, runIds: readonly string[], fittedAt = NOW, reason: string | null = null) {
  return { axisId, fitted: fittedAxis(runIds), method: METHOD, fittedAt, reason }
}

describe('tables', () => {
  it('come back equal to what was fitted, with names, version and hash', () => {
    const { store, axis, runIds } = storeWithRuns()
    const saved = store.tables.save(newFit(axis.id, runIds))
    const expected = fittedDirection(1, runIds)
    expect(saved[0]).toEqual({
      ...expected,
      machine: 'knee mill',
      axis: 'X',
      unit: 'mm',
      stepped: false,
      version: 1,
      parentVersion: null,
      fittedAt: NOW,
      method: METHOD,
      reason: null,
      difference: fittedAxis([]).difference,
      noise: fittedAxis([]).noise,
      scatter: 'measured',
      hash: tableHash({ ...expected, stepped: false, method: METHOD }),
    })
    expect(store.tables.inForce(axis.id, 1)).toEqual(saved[0])
    expect(store.tables.inForce(axis.id, -1)).toEqual(saved[1])
  })

  it('count versions from 1 for each axis and direction, and the newest is in force', () => {
    const { store, axis, runIds } = storeWithRuns()
    expect(store.tables.inForce(axis.id, 1)).toBeNull()
    store.tables.save(newFit(axis.id, runIds))
    const onlyPlus = { directions: [fittedDirection(1, runIds)], difference: null, noise: null }
    store.tables.save({ ...newFit(axis.id, runIds, LATER, 'new belt'), fitted: onlyPlus })
    const inForce = store.tables.inForce(axis.id, 1)
    expect([inForce?.version, inForce?.parentVersion, inForce?.reason]).toEqual([2, 1, 'new belt'])
    expect(store.tables.inForce(axis.id, -1)?.version).toBe(1)
    expect(store.tables.version(axis.id, 1, 1).fittedAt).toBe(NOW)
    expect(() => store.tables.version(axis.id, 1, 3)).toThrow(/its versions are 1 to 2/)
    const other = addAxis(store, 'other')
    expect(() => store.tables.version(other.id, 1, 1)).toThrow(/none yet/)
    expect(store.tables.list(axis.id).map((table) => [table.direction, table.version, table.runs])).toEqual([
      [1, 1, 2],
      [-1, 1, 0],
      [1, 2, 2],
    ])
  })

  it('are stored for every direction or for none', () => {
    const { store, axis, runIds } = storeWithRuns()
    const broken = {
      ...fittedDirection(-1, []),
      curve: [{ ...fittedDirection(1, []).marks[0]!, dial: Number.NaN }],
    }
    const fitted = { ...fittedAxis(runIds), directions: [fittedDirection(1, runIds), broken] }
    expect(() => store.tables.save({ ...newFit(axis.id, runIds), fitted })).toThrow(/NaN/)
    expect(store.tables.list(axis.id)).toEqual([])
    expect(() => store.tables.save(newFit(axis.id, ['01ARZ3NDEKTSV4RRFFQ69G5FAV']))).toThrow(/FOREIGN KEY/)
    expect(store.tables.list(axis.id)).toEqual([])
  })

  it('never change: the database refuses UPDATE and DELETE', () => {
    const { store, axis, runIds } = storeWithRuns()
    store.tables.save(newFit(axis.id, runIds))
    const other = new Database(store.path)
    for (const table of ['fit', 'table_version', 'table_run']) {
      const column = table === 'table_run' ? 'ordinal' : table === 'fit' ? 'reason' : 'version'
      expect(() => other.exec(`UPDATE ${table} SET ${column} = ${column}`), table).toThrow(/never change/)
      expect(() => other.exec(`DELETE FROM ${table}`), table).toThrow(/never change/)
    }
    other.close()
  })

  it('keep their numbers and their kind of dial when the axis is changed later', () => {
    const { store, axis, runIds } = storeWithRuns()
    const [before] = store.tables.save(newFit(axis.id, runIds))
    store.axes.change(axis.id, { stepped: true, name: 'long axis' }, LATER)
    expect(store.tables.inForce(axis.id, 1)).toEqual({ ...before, axis: 'long axis' })
  })
})

describe('tableHash(table)', () => {
  const content = { ...fittedDirection(1, ['a']), stepped: false, method: METHOD }

  it('does not depend on the order of keys, on run ids or on rounding beyond nine digits, and changes with a number or the method', () => {
    const hash = tableHash(content)
    expect(hash).toMatch(/^[0-9a-f]{64}$/)
    const turned = { ...content, marks: content.marks.map((mark) => reversedKeys(mark)) }
    expect(tableHash(turned)).toBe(hash)
    const withFeed = (feedMmPerMin: number) => ({
      ...content,
      marks: [{ ...content.marks[0]!, feedMmPerMin }],
    })
    expect(tableHash(withFeed(25.400000000000002))).toBe(tableHash(withFeed(25.4)))
    expect(tableHash({ ...content, ...{ runIds: ['b'] } })).toBe(hash)
    const others = [
      withFeed(25.4000001),
      { ...content, stepped: true },
      { ...content, direction: -1 as const },
      { ...content, method: { ...METHOD, version: '2' } },
    ]
    for (const other of others) expect(tableHash(other)).not.toBe(hash)
  })

  it('writes numbers and order as RFC 8785 does: hash computed apart with another tool', () => {
    // sha256sum of the canonical text, written by hand after RFC 8785 section 3.2:
    // {"curve":[],"direction":1,"marks":[{"dial":0.5,"feedMmPerMin":1e+21}],"method":{"name":"m","version":"1"},"stepped":false}
    const mark = { feedMmPerMin: 1e21, dial: 0.5 } as never
    expect(
      tableHash({
        stepped: false,
        direction: 1,
        curve: [],
        marks: [mark],
        method: { version: '1', name: 'm' },
      }),
    ).toBe('eb2e9f2ecf7b88418658f845ef9869a3c9bb53df401ebb1a5fdee84c844a2a46')
  })
})

describe('history', () => {
  it('lists tables, rechecks and changes of one axis in order of time', () => {
    const { store, axis, runIds } = storeWithRuns()
    addAxis(store, 'another mill')
    store.tables.save(newFit(axis.id, runIds, '2026-03-02T09:30:00.000Z'))
    const asked = {
      axisId: axis.id,
      at: '2026-03-02T11:00:00.000Z',
      reason: 'new belt',
      withinPercent: 2,
      verdict: 'holds' as const,
      result: { marks: [{ dial: 3, differencePercent: 0.4 }] },
      runIds,
      tables: [{ direction: 1 as const, version: 1 }],
    }
    const recheck = store.history.addRecheck(asked)
    expect(store.history.rechecks(axis.id)).toEqual([{ ...asked, id: recheck.id }])
    store.runs.drop(runIds[0]!, 'wrong dial', LATER)
    expect(store.history.list(axis.id).map((entry) => entry.kind)).toEqual([
      'change',
      'change',
      'table',
      'table',
      'change',
      'recheck',
    ])
  })
})

function reversedKeys<T extends object>(value: T): T {
  return Object.fromEntries(Object.entries(value).reverse()) as T
}
