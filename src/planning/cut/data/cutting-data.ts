import type { CutterKind } from './cutter-kinds.js'

/** What a cutter is made of. */
export type CutterMaterial = 'hss' | 'carbide'

/**
 * How sure a source is: printed, printed but with a unit or column inferred, printed in a document of which only an
 * excerpt was seen, so that its conditions may be missing, custom, recalled, or the user's own.
 */
export const SOURCE_STATUS = [
  'published',
  'published, in part inferred',
  'published, read in part',
  'common practice',
  'from memory',
  'own',
] as const
type SourceStatus = (typeof SOURCE_STATUS)[number]

/** Where a value comes from. */
export interface Sourced {
  readonly source: string
  readonly status: SourceStatus
}

/** What another source gives for the same value, from low to high, m/min or mm. */
export interface OtherFigure extends Sourced {
  readonly low: number
  readonly high: number
}

interface StartingSpeed extends Sourced {
  readonly cuttingSpeedMPerMin: number
  /** What other sources print, m/min; the value above is the lower one where they disagree by more than 30 %. */
  readonly others: readonly OtherFigure[]
}

/** What a cutter of one diameter stands, mm a tooth or a revolution. */
export interface ChipLoadSize {
  readonly lowMm: number
  readonly highMm: number
  /** The cutter diameter it is for, mm; null where it holds for every cutter. */
  readonly forDiameterMm: number | null
}

/** Feed per tooth a cutter stands, from low to high; per revolution for drills, boring and turning. */
export interface ChipLoadRange extends Sourced {
  /** By rising diameter, never empty. */
  readonly sizes: readonly ChipLoadSize[]
  /** For a finishing pass where it has a range of its own. */
  readonly finishing: { readonly lowMm: number; readonly highMm: number } | null
  /** What other sources print, mm. */
  readonly others: readonly (OtherFigure & { readonly forDiameterMm: number | null })[]
}

/** Energy that a volume of chips takes, W s/mm³; low and high are the same where a source gives one number. */
interface SpecificEnergy extends Sourced {
  readonly lowWsPerMm3: number
  readonly highWsPerMm3: number
}

/** Starting values for one cutter material in one work material. */
export interface CutterRow {
  readonly cutterMaterial: CutterMaterial
  /** The kinds of cutter it is for; null where it names none: then its speed is for every mill, its chip load for end mills. */
  readonly kinds: readonly CutterKind[] | null
  readonly cuttingSpeed: StartingSpeed | null
  readonly chipLoad: ChipLoadRange | null
}

/** Starting values for one work material. */
export interface MaterialData {
  readonly name: string
  /** Other names it is known by. */
  readonly also: readonly string[]
  readonly specificEnergy: SpecificEnergy | null
  /** The user's own rows before those of the program. */
  readonly cutters: readonly CutterRow[]
}

const MILLS: readonly CutterKind[] = ['end mill', 'face mill', 'fly cutter', 'side mill', 'slitting saw']

/** The speed to start from for a kind of cutter; null where no row says. */
export function startingSpeed(
  material: MaterialData,
  kind: CutterKind,
  cutterMaterial: CutterMaterial | null,
): StartingSpeed | null {
  const row = material.cutters.find(
    (one) =>
      one.cutterMaterial === cutterMaterial &&
      one.cuttingSpeed !== null &&
      (one.kinds ?? MILLS).includes(kind),
  )
  return row?.cuttingSpeed ?? null
}

/** The chip loads of a kind of cutter; null where no row says. */
export function startingChipLoad(
  material: MaterialData,
  kind: CutterKind,
  cutterMaterial: CutterMaterial | null,
): ChipLoadRange | null {
  const row = material.cutters.find(
    (one) =>
      one.cutterMaterial === cutterMaterial &&
      one.chipLoad !== null &&
      (one.kinds ?? ['end mill']).includes(kind),
  )
  return row?.chipLoad ?? null
}

/** The fastest speed that any source gives for it, m/min. */
export function fastestPrintedMPerMin(speed: StartingSpeed): number {
  return Math.max(speed.cuttingSpeedMPerMin, ...speed.others.map((other) => other.high))
}
