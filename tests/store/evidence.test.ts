import { describe, expect, it } from 'vitest'
import { sortEvidence } from '../../src/store/evidence.js'
import type { Run } from '../../src/store/index.js'

const AT = '2026-11-20T10:00:00.000Z'
const AT_S = Date.parse(AT) / 1000

const run = (id: string, part: Partial<Run>): Run => ({
  id,
  recordingId: id,
  axisId: 1,
  sessionId: null,
  step: null,
  ordinal: 0,
  source: 'readout',
  dial: 3,
  dialReset: true,
  tags: {},
  note: null,
  sessionName: '2026-11-20',
  check: false,
  accepted: true,
  droppedAt: null,
  dropReason: null,
  createdAt: AT,
  recordedLiveAt: null,
  direction: 1,
  rejection: null,
  feed: {
    feedMmPerMin: 180,
    standardUncertaintyMmPerMin: 0.01,
    degreesOfFreedom: 40,
    interval95MmPerMin: [179.98, 180.02],
    ripple: null,
  },
  phases: null,
  distanceMm: 100,
  durationS: 30,
  coast: null,
  samples: { read: 300, used: 290, rejected: {} },
  warnings: [],
  judgedWith: 'steady-slope 1',
  clock: { kind: 'host', uncertaintyMmPerMin: 0 },
  window: null,
  ...part,
})

const timesOf = (...runs: Run[]) =>
  sortEvidence(runs, { low: 0, high: 10 }).evidence.map(({ timeS }) => timeS)

describe('sortEvidence(runs, dial): times', () => {
  it('gives a run made live the time at which its recording began', () => {
    expect(timesOf(run('a', { recordedLiveAt: AT, createdAt: '2026-11-23T09:00:00.000Z' }))).toEqual([AT_S])
  })

  it('sets the runs of one recording apart by the recording’s own time', () => {
    const one = { recordingId: 'r', recordedLiveAt: AT }
    const to = run('a', { ...one, window: { startS: 7, endS: 40 } })
    const fro = run('b', { ...one, ordinal: 1, window: { startS: 45, endS: 81 } })
    expect(timesOf(to, fro)).toEqual([AT_S, AT_S + 38])
  })

  it('believes lines that carry the time since 1970', () => {
    expect(timesOf(run('a', { window: { startS: AT_S + 0.5, endS: AT_S + 30 } }))).toEqual([AT_S + 0.5])
  })

  it('gives none to recordings that were read in, however far apart', () => {
    const later = run('b', { createdAt: '2026-11-20T10:12:30.000Z', window: { startS: 7, endS: 40 } })
    expect(timesOf(run('a', {}), later)).toEqual([undefined, undefined])
  })
})
