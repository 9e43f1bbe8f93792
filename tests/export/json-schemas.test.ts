import { readdirSync, readFileSync } from 'node:fs'
import Ajv2020 from 'ajv/dist/2020.js'
import { describe, expect, it } from 'vitest'
import { jsonSchemas } from '../../src/export/json-schemas.js'

const SCHEMAS = new URL('../../calibration/schema/', import.meta.url)
const PROCEDURES = new URL('../../calibration/procedures/', import.meta.url)

function json(file: URL): object {
  return JSON.parse(readFileSync(file, 'utf8')) as object
}

describe('calibration/schema', () => {
  it('holds what the program itself checks with; after a change run scripts/make-schema.js', () => {
    for (const [name, schema] of Object.entries(jsonSchemas()))
      expect(json(new URL(name, SCHEMAS))).toEqual(schema)
  })

  it('describes every procedure file', () => {
    const validate = new Ajv2020.default({ strict: true }).compile(
      json(new URL('procedure.schema.json', SCHEMAS)),
    )
    const files = readdirSync(PROCEDURES).filter((file) => file.endsWith('.json'))
    expect(files.length).toBeGreaterThan(0)
    for (const file of files) {
      validate(json(new URL(file, PROCEDURES)))
      expect(validate.errors, file).toBeNull()
    }
  })
})
