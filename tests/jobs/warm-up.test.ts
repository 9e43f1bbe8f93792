import { join } from 'node:path'
import { describe, expect, it, onTestFinished } from 'vitest'
import { explainFeed, fitTables, recordStopwatchTakes } from '../../src/jobs/index.js'
import { seededNormal } from '../../src/numbers/index.js'
import { openStore } from '../../src/store/index.js'
import { temporaryFolder } from '../harness/program.js'

const BEGAN_MS = Date.parse('2026-03-01T10:00:00.000Z')
const RUN_MS = 60_000
const DIALS = [2, 4, 6, 8]
const MARKS_UP_AND_DOWN = [...DIALS, ...DIALS.toReversed(), ...DIALS]

/** A drive that gains 4 % as it warms, timed by hand; each entry is stored as it is made, or all in one sheet. */
function session(origin: 'keyboard' | 'sheet.csv', stepped: boolean) {
  const store = openStore(join(temporaryFolder(), 'store.db'), { mode: 'write' })
  onTestFinished(() => store.close())
  const machine = store.machines.add({ name: 'Bench', unit: 'mm', spindleRpm: [] }, iso(0))
  const axis = store.axes.add(
    machine.id,
    {
      name: 'X',
      travelMm: 500,
      dialMin: 0,
      dialMax: 10,
      marks: DIALS,
      stepped,
      leadscrewPitchMm: null,
      dialClicks: false,
    },
    iso(0),
  )
  const normal = seededNormal(7)
  for (const [k, dial] of MARKS_UP_AND_DOWN.entries()) {
    const feedMmPerMin = 50 * dial * (1.04 - 0.04 * Math.exp((-k * RUN_MS) / 300_000))
    const distanceMm = feedMmPerMin / 2
    const entry = { distanceMm, durationS: 30 + 0.1 * normal(), direction: 1 as const, marks: null }
    recordStopwatchTakes(store, axis, [{ dial, origin, entry, note: null }], {
      dialReset: true,
      tags: {},
      note: null,
      startedAt: iso(k),
    })
  }
  return { store, axis }
}

const iso = (run: number) => new Date(BEGAN_MS + run * RUN_MS).toISOString()

describe('fitTables(store, axis, { warmUp: true })', () => {
  it.each([true, false])('is told apart by its method and can be explained; stepped: %s', (stepped) => {
    const { store, axis } = session('keyboard', stepped)
    const fit = { filter: {}, reason: null, fittedAt: iso(60) }
    const plain = fitTables(store, axis, fit)
    expect(plain.fitted.warmUp?.takenOut).toBe(false)
    const warm = fitTables(store, axis, { ...fit, warmUp: true, fittedAt: iso(61) })
    expect(warm.tables[0]!.method.name).toBe(`${plain.tables[0]!.method.name}-warm`)
    expect(warm.tables[0]!.marks[0]!.feedMmPerMin).toBeGreaterThan(plain.tables[0]!.marks[0]!.feedMmPerMin)
    for (const { tables } of [plain, warm]) {
      const { budget, answer } = explainFeed(store, axis, tables[0]!, 4)
      const sources = budget!.lines.filter((line) => line.appliesTo === 'mean').map((line) => line.source)
      expect(sources.includes('warm-up')).toBe(tables === warm.tables)
      const { feedMmPerMin, standardUncertaintyMmPerMin } = answer.feed
      expect(budget!.combinedPercent.mean).toBeCloseTo((100 * standardUncertaintyMmPerMin!) / feedMmPerMin, 9)
    }
  })

  it('says that a sheet tells no times, and takes nothing out', () => {
    const { store, axis } = session('sheet.csv', true)
    const { fitted, tables } = fitTables(store, axis, {
      filter: {},
      reason: null,
      fittedAt: iso(60),
      warmUp: true,
    })
    expect(fitted.warmUp).toBeUndefined()
    expect(tables[0]!.method.name).not.toContain('warm')
    expect(tables[0]!.warnings.map(({ code }) => code)).toContain('no-warm-up')
  })
})
