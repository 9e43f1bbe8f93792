import { chmodSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { onTestFinished } from 'vitest'
import type { FittedAxis, FittedDirection } from '../../src/regression/index.js'
import type { Axis, NewAxis, RunJudgement, Store } from '../../src/store/index.js'
import { openStore } from '../../src/store/index.js'
import { NOW, newRecording } from './new-recording.js'

export { NOW, newRecording }

export const LATER = '2026-03-02T10:00:00.000Z'

/** A folder that goes away when the test is over. */
export function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'tablepace-test-'))
  chmodSync(folder, 0o755) // for the tests that act as another user
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
  return folder
}

/** A new store in a folder of its own. */
export function newStore(): Store {
  const store = openStore(join(temporaryFolder(), 'store.db'), { mode: 'write' })
  onTestFinished(() => store.close())
  return store
}

export const NEW_AXIS: NewAxis = {
  name: 'X',
  travelMm: 600,
  dialMin: 0,
  dialMax: 10,
  marks: [1, 2, 3, 5, 8, 10],
  stepped: false,
  leadscrewPitchMm: 5,
  dialClicks: false,
}

export function addAxis(store: Store, machine = 'knee mill', axis: Partial<NewAxis> = {}): Axis {
  const { id } = store.machines.add({ name: machine, unit: 'mm', spindleRpm: [110, 205, 385] }, NOW)
  return store.axes.add(id, { ...NEW_AXIS, ...axis }, NOW)
}

export const JUDGEMENT: RunJudgement = {
  direction: 1,
  rejection: null,
  feed: {
    feedMmPerMin: 181.25,
    standardUncertaintyMmPerMin: 0.01,
    degreesOfFreedom: 297,
    interval95MmPerMin: [181.23, 181.27],
    ripple: { periodMm: 5, amplitudeMm: 0.012 },
  },
  phases: { startS: 1.2, steadyFromS: 2.1, steadyToS: 30.4, endS: 31 },
  distanceMm: 90.5,
  durationS: 29.8,
  coast: { distanceMm: 0.6, standardUncertaintyMm: 0.02 },
  samples: { read: 320, used: 283, rejected: { garbled: 2 } },
  warnings: [{ code: 'ripple-hidden', message: 'Only two turns of the leadscrew lie in the steady part.' }],
  judgedWith: 'steady-slope 1',
  clock: { kind: 'host', uncertaintyMmPerMin: 0 },
  window: { startS: 0, endS: 32 },
}

export const REJECTED: RunJudgement = {
  ...JUDGEMENT,
  rejection: { code: 'slipped', message: 'The table slowed to 60 mm/min at 14 s.' },
  feed: null,
  phases: null,
  coast: null,
}

export function fittedDirection(direction: 1 | -1, runIds: readonly string[]): FittedDirection {
  return {
    direction,
    marks: [
      {
        dial: 1,
        runs: 2,
        feedMmPerMin: 25.4,
        standardUncertaintyMmPerMin: 0.2,
        interval95: [25, 25.8],
        nextSetting95: [24.6, 26.2],
      },
      {
        dial: 3,
        runs: 1,
        feedMmPerMin: 181.25,
        standardUncertaintyMmPerMin: null,
        interval95: null,
        nextSetting95: null,
      },
    ],
    curve: [],
    runIds,
    warnings: [{ code: 'one-run', message: 'Dial 3 has one run, so it has no interval.' }],
  }
}

export function fittedAxis(runIds: readonly string[]): FittedAxis {
  return {
    directions: [fittedDirection(1, runIds), fittedDirection(-1, [])],
    difference: { percent: -1.5, interval95Percent: [-2, -1], verdict: 'different' },
    noise: { runRelative: 0.004, dialReset: 0.02, degreesOfFreedom: 3 },
  }
}
