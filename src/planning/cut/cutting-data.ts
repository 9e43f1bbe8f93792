/** What a cutter is made of. */
export type CutterMaterial = 'hss' | 'carbide'

/** How sure a source is: printed somewhere, custom without a source, recalled, or the user's own. */
export type SourceStatus = 'published' | 'common practice' | 'from memory' | 'own'

/** Where a value comes from. */
export interface Sourced {
  readonly source: string
  readonly status: SourceStatus
}

export interface StartingSpeed extends Sourced {
  readonly cuttingSpeedMPerMin: number
}

/** Feed per tooth a cutter stands, from low to high. */
export interface ChipLoadRange extends Sourced {
  readonly lowMm: number
  readonly highMm: number
  /** The cutter diameter the range is for, mm; null where it holds for every cutter. */
  readonly forDiameterMm: number | null
}

/** Energy that a volume of chips takes, W s/mm³; low and high are the same where a source gives one number. */
export interface SpecificEnergy extends Sourced {
  readonly lowWsPerMm3: number
  readonly highWsPerMm3: number
}

/** Starting values for one cutter material in one work material. */
export interface CutterRow {
  readonly cutterMaterial: CutterMaterial
  readonly cuttingSpeed: StartingSpeed | null
  readonly chipLoad: ChipLoadRange | null
}

/** Starting values for one work material. */
export interface MaterialData {
  readonly name: string
  /** Other names it is known by. */
  readonly also: readonly string[]
  readonly specificEnergy: SpecificEnergy | null
  readonly cutters: readonly CutterRow[]
}
