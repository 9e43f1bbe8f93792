import { expect, it } from 'vitest'
import type { CutNote, Store } from '../../../src/store/index.js'
import { newStore } from '../store-samples.js'

const NOTE = {
  at: '2026-02-03T10:00:00.000Z',
  kind: 'end mill',
  pass: 'roughing',
  material: 'brass',
  cutterMaterial: 'hss',
  diameterMm: 12,
  teeth: 4,
  rpm: 620,
  feedMmPerMin: 120,
  widthMm: null,
  depthMm: 3,
  outcome: 'good',
  finishUm: 1.6,
  note: 'sharp cutter',
} satisfies Omit<CutNote, 'machineId'>

function machineOf(store: Store): number {
  return store.machines.add({ name: 'mill', unit: 'mm', spindleRpm: [110] }, NOTE.at).id
}

it('takes in every note on a cut once, under the machine of the same name, and keeps it whole', () => {
  const here = newStore()
  const there = newStore()
  machineOf(here)
  const machineId = machineOf(there)
  there.cutNotes.add({ ...NOTE, machineId })
  there.cutNotes.add({ ...NOTE, machineId, outcome: 'chatter', at: '2026-02-04T10:00:00.000Z' })
  expect(here.mergeFrom(there.path).cutNotes).toBe(2)
  expect(here.mergeFrom(there.path).cutNotes).toBe(0)
  const kept = here.cutNotes.list(here.machines.byName('mill').id)
  expect(kept.map((note) => note.outcome)).toEqual(['chatter', 'good'])
  expect(kept[1]).toMatchObject(NOTE)
  expect(here.integrityCheck()).toEqual({ sound: true, problems: [] })
})
