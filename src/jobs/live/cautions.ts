import * as z from 'zod'
import file from '../../../calibration/cautions.json' with { type: 'json' }

const list = z.strictObject({
  heading: z.string().min(1),
  /** Where these cautions come from, or that they are common practice. */
  source: z.string().min(1),
  cautions: z.array(z.string().min(1)).min(1),
})

const cautionsSchema = z.strictObject({
  beforeTraverse: list,
  beforeCuttingTraverse: list,
  beforeAxisMove: list,
  beforeCut: list,
  beforeStops: list,
})

type AllCautions = z.infer<typeof cautionsSchema>

/** When cautions are shown. */
export type Occasion = keyof AllCautions

/** Cautions for one occasion, one sentence each. */
export type Cautions = Readonly<z.infer<typeof list>>

let all: AllCautions | null = null

/** The cautions for an occasion, from `calibration/cautions.json`. */
export function cautionsFor(occasion: Occasion): Cautions {
  all ??= cautionsSchema.parse(file)
  return all[occasion]
}

/** Values of the tag `load` that say that nothing is cut. */
const FREE = new Set(['', 'free', 'none', 'no', '0'])

/**
 * Which cautions a traverse with these tags needs. Any load but `free` may mean a cutter in the work, and the cautions
 * for a free table ("spindle off") would be the wrong ones there.
 */
export function traverseOccasion(
  tags: Readonly<Record<string, string>>,
): 'beforeTraverse' | 'beforeCuttingTraverse' {
  const load = tags.load?.trim().toLowerCase() ?? 'free'
  return FREE.has(load) ? 'beforeTraverse' : 'beforeCuttingTraverse'
}
