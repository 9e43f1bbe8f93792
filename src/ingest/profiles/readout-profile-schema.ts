import * as z from 'zod'
import { requestBytes } from '../port/polled-request.js'
import type { ReadoutProfile } from './readout-profile.js'

const place = {
  label: z.string().min(1).max(20).optional(),
  column: z
    .int()
    .refine((column) => column !== 0, 'columns count from 1, or from -1 at the end')
    .optional(),
}

const onePlace = (field: { label?: string | undefined; column?: number | undefined }) =>
  (field.label === undefined) !== (field.column === undefined)
const ONE_PLACE = 'give either label or column'

const axis = z
  .strictObject({
    axis: z.string().min(1),
    ...place,
    sign: z.union([z.literal(1), z.literal(-1)]).optional(),
  })
  .refine(onePlace, ONE_PLACE)

const clock = z
  .strictObject({
    ...place,
    unit: z.enum(['ms', 's', 'us']),
    bits: z.union([z.literal(16), z.literal(32), z.null()]),
  })
  .refine(onePlace, ONE_PLACE)

const serial = z.strictObject({
  baudRate: z.int().positive().optional(),
  dataBits: z.union([z.literal(7), z.literal(8)]).optional(),
  parity: z.enum(['none', 'even', 'odd']).optional(),
  stopBits: z.union([z.literal(1), z.literal(2)]).optional(),
})

const measured = z.strictObject({
  positionStepMm: z.number().positive().nullable(),
  refreshHz: z.number().positive(),
  arrivalJitterS: z.number().nonnegative(),
  mostLinesTogether: z.int().positive(),
  togetherShare: z.number().min(0).max(1),
  repeatsAtRest: z.boolean().nullable(),
  lines: z.int().positive(),
})

/** The shape of a readout profile file. */
export const readoutProfileSchema: z.ZodType<ReadoutProfile> = z
  .strictObject({
    name: z.string().regex(/^[a-z0-9-]+$/, 'use small letters, digits and hyphens'),
    description: z.string().min(1),
    examples: z.array(z.string().min(1)),
    axes: z.array(axis).min(1),
    decimalMark: z.enum(['point', 'comma']),
    separators: z.array(z.string().length(1, 'one character each')),
    unit: z.enum(['in', 'mm', 'deg', 'line', 'bare', 'counts']),
    countLengthMm: z.number().positive().optional(),
    deviceTime: clock.optional(),
    terminator: z.string().optional(),
    serial: serial.optional(),
    request: z
      .string()
      .refine(
        (request) => requestBytes(request) !== null,
        'use 1 to 64 bytes; escapes are \\r, \\n, \\t, \\0, \\\\ and \\xHH',
      )
      .optional(),
    intervalS: z.number().min(0.005).max(60).optional(),
    answerTimeoutS: z.number().positive().max(60).optional(),
    measured: measured.optional(),
  })
  .refine((profile) => profile.countLengthMm === undefined || profile.unit === 'counts', {
    path: ['countLengthMm'],
    message: 'belongs to unit counts only',
  })
  .refine((profile) => (profile.request === undefined) === (profile.intervalS === undefined), {
    path: ['request'],
    message: 'request and intervalS belong together',
  })
  .refine((profile) => profile.answerTimeoutS === undefined || profile.request !== undefined, {
    path: ['answerTimeoutS'],
    message: 'belongs to a request',
  })
  .refine((profile) => !(profile.decimalMark === 'comma' && profile.separators.includes(',')), {
    path: ['separators'],
    message: 'a comma cannot be decimal mark and separator',
  })
