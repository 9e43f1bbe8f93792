import * as z from 'zod'
import { MEASURED } from '../planning/lookup/free-of-cut.js'

const dial = z.number().describe('Number on the dial; a letter as its place in the alphabet, A = 1.')
const label = z.string().optional().describe('The letter, where the dial carries letters.')
const interval = z.tuple([z.number(), z.number()]).describe('Lower and upper end, in the feed unit.')
const feed = z.object({
  value: z.number().describe('Mean feed of this setting, in the feed unit.'),
  standardUncertainty: z
    .number()
    .nullable()
    .describe('Standard uncertainty (GUM) of the mean feed; null where no run was repeated.'),
  interval95: interval.nullable().describe('95 % interval of the mean feed.'),
})
const nextSetting95 = interval
  .nullable()
  .describe('Where the feed lies with 95 % probability the next time this dial is set, on any day.')
const sameDay95 = interval
  .optional()
  .describe('The same on the day of the measurement, as stored. In older documents nextSetting95 is that.')

const table = z.object({
  direction: z.enum(['+', '-']).describe('+ towards larger positions of the readout.'),
  version: z.int().positive().describe('Counted from 1 for this axis and direction.'),
  fittedAt: z.string().describe('ISO 8601, UTC.'),
  method: z.object({ name: z.string(), version: z.string() }),
  hash: z.string().describe('SHA-256 of the table content as stored.'),
  measured: z
    .literal(MEASURED)
    .optional()
    .describe('How the feeds were measured; while cutting they may drop. Missing in older documents.'),
  stepped: z.boolean().describe('True where the dial has only its marks and nothing between.'),
  measuredRange: z
    .object({ dial: z.tuple([z.number(), z.number()]), feed: interval })
    .describe('Nothing is known outside; refuse such a setting or feed.'),
  marks: z
    .array(z.object({ dial, feed, nextSetting95, sameDay95, runs: z.int().nonnegative(), label }))
    .describe('What was measured, in rising dial order.'),
  curve: z
    .array(z.object({ dial, feed, nextSetting95, sameDay95 }))
    .describe('Fine grid over the measured range; empty where there are marks alone.'),
  runIds: z.array(z.string()).describe('Runs the table was fitted from.'),
  scatter: z
    .enum(['assumed', 'measured'])
    .optional()
    .describe('Whether repeats told the scatter behind the intervals. Missing in older documents.'),
  warnings: z
    .array(z.object({ code: z.string(), message: z.string(), runIds: z.array(z.string()).optional() }))
    .optional()
    .describe('What stands against the answers of this table: show it beside them.'),
})

const axisDetails = z
  .object({
    travel: z.number().positive().describe('Travel of the axis.'),
    dial: z.tuple([z.number(), z.number()]).describe('Lowest and highest number on the dial.'),
    dialMarks: z.array(z.number()).describe('Marks printed on the dial; empty where none were named.'),
    stepped: z.boolean().describe('True where the dial has only its marks and nothing between.'),
    dialClicks: z.boolean().describe('True where the dial clicks into place or is digital.'),
    leadscrewPitch: z.number().positive().nullable().describe('Null where it is not known.'),
    lengthUnit: z.enum(['in', 'mm', 'deg']).describe('Unit of travel and pitch; deg where the axis turns.'),
    lettered: z.boolean().optional().describe('True where the dial carries letters.'),
    range: z
      .object({
        of: z.string().describe('Name of the axis without its range.'),
        name: z.string().describe('Name of the range, as in a setting such as HI 4.'),
      })
      .optional()
      .describe('Where the axis is one range of a dial that has several.'),
  })
  .describe('The axis itself, so that another store can take the table in.')

/** The document that `export --format json` writes; `calibration/schema` holds it as JSON Schema. */
export const tableDocumentSchema = z
  .object({
    schema: z.object({ id: z.literal('urn:tablepace:table-document'), version: z.literal(1) }),
    machine: z.string(),
    axis: z.string(),
    unit: z
      .object({
        feed: z.enum(['in/min', 'mm/min', 'deg/min']),
        ucum: z.enum(['[in_i]/min', 'mm/min', 'deg/min']).describe('The same in UCUM.'),
      })
      .describe('Unit of every feed and interval.'),
    interpolation: z.literal('linear').describe('Straight lines between points of the curve.'),
    axisDetails: axisDetails.optional(),
    tables: z.array(table).min(1).describe('One a direction.'),
  })
  .describe('Feed tables of one axis of one machine.')

export type TableDocument = z.infer<typeof tableDocumentSchema>

/** The UCUM code of a unit of feed. */
export function ucumOf(unit: TableDocument['unit']['feed']): TableDocument['unit']['ucum'] {
  return unit === 'in/min' ? '[in_i]/min' : unit
}
