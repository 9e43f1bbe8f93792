import type { CutNote, NewAxis, RunJudgement, Store } from '../../src/store/index.js'
import { newRecording } from './new-recording.js'

const AT = '2026-03-02T09:00:00.000Z'
const LATER = '2026-03-03T09:00:00.000Z'

const JUDGEMENT: RunJudgement = {
  direction: 1,
  rejection: null,
  feed: {
    feedMmPerMin: 152.4,
    standardUncertaintyMmPerMin: 0.0125,
    degreesOfFreedom: Number.POSITIVE_INFINITY,
    interval95MmPerMin: [152.375, 152.425],
    ripple: null,
  },
  phases: null,
  distanceMm: 76.2,
  durationS: 30,
  coast: null,
  samples: { read: 1, used: 1, rejected: {} },
  warnings: [],
  judgedWith: 'plain 1',
  window: null,
  clock: { kind: 'device', uncertaintyMmPerMin: 0.002 },
}

/** Invented. */
export const GOLDEN_CUT_NOTE = {
  at: LATER,
  kind: 'end mill',
  pass: 'roughing',
  material: 'brass',
  cutterMaterial: 'hss',
  diameterMm: 12.7,
  teeth: 4,
  rpm: 620,
  feedMmPerMin: 120,
  widthMm: 6,
  depthMm: null,
  outcome: 'good',
  finishUm: 1.6,
  note: 'sharp cutter',
} satisfies Omit<CutNote, 'machineId'>

/** A rotary table on the same machine. */
export const GOLDEN_ROTARY = {
  name: 'A',
  travelMm: 360,
  dialMin: 0,
  dialMax: 10,
  marks: [],
  stepped: false,
  leadscrewPitchMm: 4,
  dialClicks: false,
  rotary: true,
} satisfies NewAxis

/** Fills an empty store with a little of everything; what the golden-store test expects to find again. */
export function fillGoldenStore(store: Store): void {
  const machine = store.machines.add(
    { name: 'knee mill', unit: 'in', spindleRpm: [115, 190, 320], motorPowerW: 1100 },
    AT,
  )
  const axis = store.axes.add(
    machine.id,
    {
      name: 'X',
      travelMm: 609.6,
      dialMin: 0,
      dialMax: 10,
      marks: [1, 3, 5, 8],
      stepped: false,
      leadscrewPitchMm: 5.08,
      dialClicks: false,
      ways: { plus: 'left', minus: 'right' },
      pushN: 450,
    },
    AT,
  )
  store.axes.add(machine.id, GOLDEN_ROTARY, AT)
  const plan = { procedure: 'quick', steps: [{ step: 1, dial: 3, direction: 1, pass: 1 }] }
  const session = store.sessions.start({
    axisId: axis.id,
    procedure: 'quick',
    plan,
    source: 'readout',
    startedAt: AT,
  })
  const readout = store.recordings.start(
    newRecording(axis.id, {
      sessionId: session.id,
      step: 1,
      tags: { oil: 'warm' },
      sessionName: 'after the new belt',
    }),
  )
  store.recordings.appendLines(readout.id, [
    { timeS: 0.125, text: 'X +0.0000 \u00b5' },
    { timeS: 0.25, text: 'X +0.0125' },
  ])
  store.recordings.end(readout.id, AT)
  const stopwatch = store.recordings.addStopwatch(
    newRecording(axis.id, {
      source: 'stopwatch',
      origin: 'keyboard',
      dial: 'rapid',
      readout: null,
      units: null,
      check: true,
    }),
    { distanceMm: 152.4, durationS: 28.5, direction: -1, marks: [10.5] },
  )
  const [run] = store.runs.add(readout.id, 3, [JUDGEMENT], AT)
  const slipped = { code: 'slipped', message: 'The table slowed at 14 s.' }
  const [rejected] = store.runs.add(
    stopwatch.id,
    'rapid',
    [{ ...JUDGEMENT, rejection: slipped, feed: null }],
    AT,
  )
  if (run === undefined || rejected === undefined) throw new Error('no run was stored')
  store.runs.drop(rejected.id, 'wrong lever', LATER)
  const mark = {
    dial: 3,
    runs: 1,
    feedMmPerMin: 152.4,
    standardUncertaintyMmPerMin: null,
    interval95: null,
    nextSetting95: null,
  }
  store.tables.save({
    axisId: axis.id,
    fitted: {
      directions: [{ direction: 1, marks: [mark], curve: [], runIds: [run.id], warnings: [] }],
      difference: null,
      noise: null,
    },
    method: { name: 'plain', version: '1' },
    fittedAt: LATER,
    reason: 'first table',
  })
  store.practices.add({
    person: 'Ann',
    at: LATER,
    rounds: [0.1, 0.25, 0.15].map((startLateS) => ({ startLateS, stopLateS: 0.2 })),
  })
  store.cutNotes.add({ ...GOLDEN_CUT_NOTE, machineId: axis.machineId })
  store.history.addRecheck({
    axisId: axis.id,
    at: LATER,
    reason: 'new belt',
    withinPercent: 2,
    verdict: 'undecided',
    result: { marks: [] },
    runIds: [run.id],
    tables: [{ direction: 1, version: 1 }],
  })
}
