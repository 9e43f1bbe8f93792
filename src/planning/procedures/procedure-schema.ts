import * as z from 'zod'
import { DataError, sentence, UsageError, way } from '../../errors/index.js'
import type { Procedure } from '../session/session-plan.js'

/** A procedure file; every field is explained at `Procedure`. */
export const procedureSchema = z.strictObject({
  name: z.string().min(1),
  title: z.string().min(1),
  marks: z.union([z.literal('axis'), z.array(z.number()).min(1)]),
  passes: z.array(z.enum(['up', 'down'])).min(1),
  directions: z.array(z.enum(['+', '-'])).min(1),
  source: z.enum(['readout', 'stopwatch']),
  minimumTravelTimeS: z.number().positive(),
  longestTravelShare: z.number().positive().max(1),
  restS: z.number().nonnegative(),
  resetDial: z.boolean(),
  cautions: z.array(z.string().min(1)),
})

const direction = z.union([z.literal(1), z.literal(-1)])

const sessionPlanSchema = z.object({
  procedure: z.string(),
  /** What a session without fixed steps goes on for. */
  goodEnough: z
    .object({
      withinPercent: z.number().positive(),
      percentAlone: z.boolean(),
      directions: z.array(direction),
    })
    .optional(),
  steps: z.array(
    z.object({
      step: z.int().positive(),
      dial: z.number(),
      direction,
      pass: z.int().positive(),
    }),
  ),
})

const recheckAskedSchema = z.object({
  reason: z.string(),
  /** The tolerance, percent on either side. */
  withinPercent: z.number().positive(),
  /** As `RecheckOutlook`; null where nothing tells. Sessions of earlier versions have none. */
  outlook: z
    .object({
      finest: z.object({ withinPercent: z.number(), dial: z.number(), because: z.enum(['days', 'table']) }),
      decides: z.number(),
      showsTwice: z.number().nullable().default(null),
    })
    .nullable()
    .default(null),
})

/** What a guided recheck asks. */
export type RecheckAsked = Readonly<z.infer<typeof recheckAskedSchema>>

/** Reads a procedure from parsed JSON; `place` names the file in errors. @throws UsageError `bad-procedure` */
export function parseProcedure(json: unknown, place: string): Procedure {
  const read = procedureSchema.safeParse(json)
  if (read.success) return read.data
  throw new UsageError(
    'bad-procedure',
    `${place} is not a procedure: ${firstProblem(read.error)}.`,
    'Compare it with the files in calibration/procedures.',
  )
}

/** Reads back the plan a stored session carries. @throws DataError `bad-plan` */
export function parseSessionPlan(json: unknown): z.infer<typeof sessionPlanSchema> {
  const read = sessionPlanSchema.safeParse(json)
  if (read.success) return read.data
  throw new DataError(
    'bad-plan',
    `The plan of this session cannot be read: ${firstProblem(read.error)}.`,
    sentence`Begin a new session${way('calibrate')}; the runs made so far are kept.`,
  )
}

/** What a guided recheck asks, read back from the plan of its session. @throws DataError `bad-plan` */
export function parseRecheckAsked(json: unknown): RecheckAsked {
  const read = recheckAskedSchema.safeParse(json)
  if (read.success) return read.data
  throw new DataError(
    'bad-plan',
    `The plan of this recheck cannot be read: ${firstProblem(read.error)}.`,
    sentence`Begin a new recheck${way('recheck')}; the runs made so far are kept.`,
  )
}

function firstProblem(error: z.ZodError): string {
  const issue = error.issues[0]
  const where = issue?.path.join('.') ?? ''
  return `${where === '' ? '' : `${where}: `}${issue?.message ?? 'unreadable'}`
}
