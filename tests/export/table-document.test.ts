import { readFileSync } from 'node:fs'
import Ajv2020 from 'ajv/dist/2020.js'
import { describe, expect, it } from 'vitest'
import { tablesToJson } from '../../src/export/index.js'
import { STEPPED, STRAIGHT, table } from '../planning/sample-tables.js'

const SCHEMA: object = JSON.parse(
  readFileSync(new URL('../../calibration/schema/table-document.schema.json', import.meta.url), 'utf8'),
)
const validate = new Ajv2020.default({ strict: true, strictTuples: false }).compile(SCHEMA)

describe('tablesToJson(tables)', () => {
  it('fits its JSON Schema, with a curve, with marks alone and without intervals', () => {
    const bare = STEPPED.marks.map((mark) => ({
      ...mark,
      standardUncertaintyMmPerMin: null,
      interval95: null,
      nextSetting95: null,
    }))
    for (const tables of [
      [STRAIGHT, table({ ...STRAIGHT, direction: -1 })],
      [STEPPED],
      [table({ ...STEPPED, unit: 'in', marks: bare })],
    ]) {
      const document: unknown = JSON.parse(tablesToJson(tables))
      validate(document)
      expect(validate.errors).toBeNull()
    }
  })

  it('the schema refuses a document that says something else', () => {
    const good = JSON.parse(tablesToJson([STEPPED]))
    const [first] = good.tables
    const bad = [
      { ...good, schema: { id: 'urn:tablepace:table-document', version: 2 } },
      { ...good, unit: { feed: 'ft/min', ucum: '[ft_i]/min' } },
      { ...good, tables: [] },
      { ...good, tables: [{ ...first, direction: 1 }] },
      { ...good, tables: [{ ...first, measuredRange: { dial: [1], feed: [1, 2] } }] },
      { ...good, tables: [{ ...first, marks: [{ ...first.marks[0], dial: null }] }] },
    ]
    for (const document of bad) expect(validate(document)).toBe(false)
  })

  it("carries the machine's unit, its UCUM code, the measured range and every number", () => {
    const document = JSON.parse(tablesToJson([table({ ...STRAIGHT, unit: 'in', runIds: ['a', 'b'] })]))
    // UCUM: [in_i]/min (UCUM essence, atoms [in_i] and min); 1 in = 25.4 mm exactly.
    expect(document.unit).toEqual({ feed: 'in/min', ucum: '[in_i]/min' })
    const [written] = document.tables
    expect(written.measuredRange).toEqual({ dial: [0.1, 10], feed: [10 / 25.4, 1000 / 25.4] })
    expect(written.runIds).toEqual(['a', 'b'])
    expect(written.curve).toHaveLength(STRAIGHT.curve.length)
    expect(written.marks[2]).toEqual({
      dial: 2,
      feed: {
        value: 200 / 25.4,
        standardUncertainty: 10 / 1.96 / 25.4,
        interval95: [190 / 25.4, 210 / 25.4],
      },
      nextSetting95: [180 / 25.4, 220 / 25.4],
      runs: 3,
    })
  })

  it('refuses no table, and tables of several axes', () => {
    expect(() => tablesToJson([])).toThrow(/no table/)
    expect(() => tablesToJson([STRAIGHT, table({ ...STRAIGHT, axis: 'Y' })])).toThrow(/several axes/)
  })
})
