import { describe, expect, it } from 'vitest'
import { runJson, type ShownRun, tableJson } from '../../src/cli/json-shapes.js'
import { table } from '../planning/sample-tables.js'

const RUN: ShownRun = {
  id: null,
  dial: 4,
  source: 'readout',
  direction: 1,
  rejection: null,
  feed: null,
  phases: null,
  distanceMm: 127,
  durationS: 30,
  coast: { distanceMm: 2.54, standardUncertaintyMm: 0.0254 },
  samples: { read: 300, used: 280, rejected: {} },
  warnings: [],
  judgedWith: 'steady-slope 1',
  window: null,
  clock: null,
}

describe('runJson(run, unit)', () => {
  it('gives an entered length back as it was entered', () => {
    for (let inches = 0.1; inches < 40; inches = Math.round(10 * inches + 1) / 10) {
      expect(runJson({ ...RUN, distanceMm: inches * 25.4 }, 'in').distance).toEqual({
        value: inches,
        unit: 'in',
      })
    }
  })

  it('gives the coast with its own uncertainty, both in the unit of the machine', () => {
    expect(runJson(RUN, 'in').coast).toEqual({
      distance: { value: 0.1, unit: 'in' },
      standardUncertainty: { value: 0.001, unit: 'in' },
    })
  })

  it('says null for what an older judgement did not tell', () => {
    const coast = { distanceMm: 2.54, standardUncertaintyMm: null }
    expect(runJson({ ...RUN, coast }, 'mm').coast).toEqual({
      distance: { value: 2.54, unit: 'mm' },
      standardUncertainty: null,
    })
    expect(runJson({ ...RUN, coast: null }, 'mm').coast).toBeNull()
  })
})

describe('tableJson(table)', () => {
  it('gives the warnings of a table with the runs they are about, and none where the table tells none', () => {
    const warnings = [{ code: 'odd-run', message: 'One run lies apart.', runIds: ['01A'] }]
    expect(tableJson(table({ warnings })).warnings).toEqual(warnings)
    expect(tableJson(table({})).warnings).toEqual([])
  })
})
