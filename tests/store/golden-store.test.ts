import { copyFileSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { openStore } from '../../src/store/index.js'
import { MIGRATIONS } from '../../src/store/migrations/index.js'
import { GOLDEN_CUT_NOTE, GOLDEN_ROTARY } from './golden-store.js'
import { temporaryFolder } from './store-samples.js'

const FOLDER = new URL('../../fixtures/stores/', import.meta.url).pathname
const STORES = readdirSync(FOLDER).filter((file) => file.endsWith('.db'))

it('there is a golden store of every schema version', () => {
  expect(new Set(STORES)).toEqual(new Set(MIGRATIONS.map((_, index) => `v${index + 1}.db`)))
})

it('the changelog names the schema version of today', () => {
  const changelog = readFileSync(new URL('../../CHANGELOG.md', import.meta.url), 'utf8')
  expect(changelog).toContain(`| store (SQLite) | ${MIGRATIONS.length} |`)
})

it.each(STORES)('%s opens, is brought up to date and has kept everything', (file) => {
  const version = Number(/\d+/.exec(file)![0])
  const path = join(temporaryFolder(), file)
  copyFileSync(join(FOLDER, file), path)
  openStore(path, { mode: 'write' }).close()
  const store = openStore(path, { mode: 'read' })
  expect(store.integrityCheck()).toEqual({ sound: true, problems: [] })
  const { machine, axis } = store.axes.resolve({ axis: 'X' })
  expect([machine.name, machine.unit, machine.spindleRpm]).toEqual(['knee mill', 'in', [115, 190, 320]])
  expect([axis.name, axis.travelMm, axis.marks, axis.leadscrewPitchMm]).toEqual([
    'X',
    609.6,
    [1, 3, 5, 8],
    5.08,
  ])
  const session = store.sessions.inProgress(axis.id)
  expect([session?.procedure, session === null ? [] : store.sessions.doneSteps(session.id)]).toEqual([
    'quick',
    [1],
  ])
  const [readout, stopwatch] = store.recordings.list(axis.id)
  expect(readout).toMatchObject({ dial: 3, tags: { oil: 'warm' }, readout: { label: 'X', decimals: 3 } })
  expect([...store.recordings.text(readout!.id)].join('')).toBe(
    '{"t":0.125,"line":"X +0.0000 µ"}\n{"t":0.25,"line":"X +0.0125"}\n',
  )
  expect(store.recordings.stopwatchEntry(stopwatch!.id)).toEqual({
    distanceMm: 152.4,
    durationS: 28.5,
    direction: -1,
    marks: [10.5],
  })
  // Measuring sessions and check runs came with the eighth schema; before, the date tells the session.
  const named = version >= 8
  expect([readout?.sessionName, readout?.check]).toEqual([named ? 'after the new belt' : '2026-03-02', false])
  expect([stopwatch?.sessionName, stopwatch?.check]).toEqual(['2026-03-02', named])
  const [run, rejected] = store.runs.list(axis.id)
  expect(run?.feed).toEqual({
    feedMmPerMin: 152.4,
    standardUncertaintyMmPerMin: 0.0125,
    degreesOfFreedom: Number.POSITIVE_INFINITY,
    interval95MmPerMin: [152.375, 152.425],
    ripple: null,
  })
  expect(run?.clock).toEqual(version < 3 ? null : { kind: 'device', uncertaintyMmPerMin: 0.002 })
  expect([rejected?.dial, rejected?.rejection?.code, rejected?.dropReason]).toEqual([
    'rapid',
    'slipped',
    'wrong lever',
  ])
  const table = store.tables.inForce(axis.id, 1)
  expect([table?.version, table?.marks[0]?.feedMmPerMin, table?.runIds]).toEqual([1, 152.4, [run?.id]])
  const kinds = store.history.list(axis.id).map((entry) => entry.kind)
  expect(kinds).toEqual(['change', 'change', 'change', 'table', 'recheck'])
  // The motor came with the fifth schema.
  expect(axis.ways).toEqual(version >= 9 ? { plus: 'left', minus: 'right' } : null)
  expect(axis.pushN).toBe(version >= 10 ? 450 : null)
  expect([axis.rotary, axis.unit]).toEqual([false, 'in'])
  // Axes that turn came with the twelfth schema.
  const turning = store.axes.list(machine.id).filter(({ rotary }) => rotary)
  expect(turning).toMatchObject(version >= 12 ? [{ ...GOLDEN_ROTARY, unit: 'deg' }] : [])
  expect(machine.motorPowerW).toBe(version >= 5 ? 1100 : null)
  // Practice came with the fourth schema.
  const practised = version >= 4
  expect(store.practices.latestOfAll()).toEqual(
    practised
      ? [
          {
            person: 'Ann',
            at: '2026-03-03T09:00:00.000Z',
            rounds: [0.1, 0.25, 0.15].map((startLateS) => ({ startLateS, stopLateS: 0.2 })),
          },
        ]
      : [],
  )
  // Notes on cuts came with the seventh schema.
  const noted = version >= 7
  expect(store.cutNotes.list(machine.id)).toEqual(
    noted ? [{ ...GOLDEN_CUT_NOTE, machineId: machine.id }] : [],
  )
  store.close()
})
