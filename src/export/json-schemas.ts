import * as z from 'zod'
import { cuttingDataSchema } from '../planning/cut/index.js'
import { procedureSchema } from '../planning/procedures/index.js'
import { tableDocumentSchema } from './table-document-schema.js'

/** The JSON Schemas (draft 2020-12) in `calibration/schema`, by file name; `scripts/make-schema.js` writes them. */
export function jsonSchemas(): Record<string, unknown> {
  return {
    'table-document.schema.json': {
      $id: 'urn:tablepace:table-document:1',
      ...z.toJSONSchema(tableDocumentSchema),
    },
    'cutting-data.schema.json': { $id: 'urn:tablepace:cutting-data:1', ...z.toJSONSchema(cuttingDataSchema) },
    'procedure.schema.json': { $id: 'urn:tablepace:procedure:1', ...z.toJSONSchema(procedureSchema) },
  }
}
