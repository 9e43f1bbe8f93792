import * as z from 'zod'
import { agreeingDigits, printedDigits } from './digits.js'

/** A published number, list or table of numbers. */
type Numbers = number | readonly Numbers[]

const NumbersSchema: z.ZodType<Numbers> = z.lazy(() => z.union([z.number(), z.array(NumbersSchema)]))

/** What a source gives for each quantity; a few are no numbers (true, null) and are left out. */
export const QuantitiesSchema = z.record(z.string(), z.unknown())
export type Quantities = z.infer<typeof QuantitiesSchema>

/** One number held against one of ours. */
export interface Check {
  /** The function of this program that gave `got`. */
  readonly function: string
  readonly quantity: string
  readonly expected: number
  readonly got: number
  readonly digits: number
  readonly requiredDigits: number
}

/** What a function of this program makes of a quantity. */
export interface Computed {
  readonly function: string
  readonly value: Numbers
  /** Digits that must agree with a value given in full; default 9. */
  readonly requiredDigits?: number
  /** Size the quantity might have had, where 0 is expected. */
  readonly scale?: number
}

/** Checks made, and quantities that no function of this program computes. */
export interface Comparison {
  readonly checks: readonly Check[]
  readonly notComputed: readonly string[]
}

/** `full` values bear 9 digits and more; `printed` ones what their source prints. */
type Precision = 'full' | 'printed'

/** Digits that must agree where the published value has all: those a table is compared by (judgement). */
const FULL_DIGITS = 9

/**
 * Holds every quantity a source gives against what the program computes for it.
 *
 * @param compute what a function of ours makes of a quantity, or null without one
 * @param prefix stands before the quantity's name in the checks, for items with several cases
 */
export function compareQuantities(
  expected: Quantities,
  compute: (quantity: string) => Computed | null,
  precision: Precision = 'full',
  prefix = '',
): Comparison {
  const checks: Check[] = []
  const notComputed: string[] = []
  for (const [quantity, value] of Object.entries(expected)) {
    const numbers = NumbersSchema.safeParse(value)
    const computed = numbers.success ? compute(quantity) : null
    if (numbers.success && computed !== null) {
      checks.push(...compareNumbers(prefix + quantity, numbers.data, computed.value, computed, precision))
    } else {
      notComputed.push(prefix + quantity)
    }
  }
  return { checks, notComputed }
}

/** The fields an item may state its values in. */
export const StatedSchema = z
  .object({
    expected: QuantitiesSchema.optional(),
    expected_full: QuantitiesSchema.optional(),
    expected_printed: QuantitiesSchema.optional(),
    printed: QuantitiesSchema.optional(),
  })
  .refine((stated) => Object.values(stated).some((quantities) => quantities !== undefined), {
    error: 'states no values to compare with',
    path: ['expected'],
  })
type Stated = z.infer<typeof StatedSchema>

/** Compares all the values an item or one of its cases states, each at the precision of its field. */
export function compareStated(stated: Stated, compute: (quantity: string) => Computed | null): Comparison {
  const full = [stated.expected, stated.expected_full]
  const printed = [stated.expected_printed, stated.printed]
  return joinComparisons([
    ...full.map((quantities) => compareQuantities(quantities ?? {}, compute, 'full')),
    ...printed.map((quantities) => compareQuantities(quantities ?? {}, compute, 'printed', 'printed ')),
  ])
}

/** One list of checks out of several. */
export function joinComparisons(parts: readonly Comparison[]): Comparison {
  return {
    checks: parts.flatMap(({ checks }) => checks),
    notComputed: parts.flatMap(({ notComputed }) => notComputed),
  }
}

function compareNumbers(
  quantity: string,
  expected: Numbers | undefined,
  got: Numbers | undefined,
  computed: Computed,
  precision: Precision,
): Check[] {
  if (typeof expected === 'object' || typeof got === 'object') {
    const expectedList = typeof expected === 'object' ? expected : [expected ?? Number.NaN]
    const gotList = typeof got === 'object' ? got : [got ?? Number.NaN]
    // A list of another length than ours must fail, not be cut to the shorter one.
    return Array.from({ length: Math.max(expectedList.length, gotList.length) }, (_, index) =>
      compareNumbers(`${quantity}[${index}]`, expectedList[index], gotList[index], computed, precision),
    ).flat()
  }
  const expectedNumber = expected ?? Number.NaN
  const gotNumber = got ?? Number.NaN
  return [
    {
      function: computed.function,
      quantity,
      expected: expectedNumber,
      got: gotNumber,
      digits: agreeingDigits(expectedNumber, gotNumber, computed.scale),
      requiredDigits:
        precision === 'printed' ? printedDigits(expectedNumber) : (computed.requiredDigits ?? FULL_DIGITS),
    },
  ]
}
