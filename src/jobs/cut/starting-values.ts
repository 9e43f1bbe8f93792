import {
  type CutPass,
  type CutProblem,
  type CutterKind,
  type CutterMaterial,
  chipLoadFor,
  type FittingChipLoad,
  fastestPrintedMPerMin,
  findMaterial,
  type MaterialData,
  type OtherFigure,
  type Sourced,
  startingChipLoad,
  startingChipLoadMm,
  startingSpeed,
} from '../../planning/cut/index.js'
import type { OwnExperience } from './own-cut-notes.js'

/** Where one value of a cut comes from. */
export interface ValueSource extends Sourced {
  readonly value: 'cutting speed' | 'chip load' | 'chip load of a smaller cutter' | 'specific energy'
  /** What other sources print for it, m/min or mm. */
  readonly others: readonly OtherFigure[]
}

/** Cutting speed, chip load and specific energy of a cut, the user's own before those of the material. */
export interface StartingValues {
  readonly material: MaterialData | null
  readonly cuttingSpeedMPerMin: number
  readonly chipLoadMm: number
  /** Chip loads that the cutter stands; null where no material says. */
  readonly range: FittingChipLoad | null
  readonly specificEnergy: { readonly lowWsPerMm3: number; readonly highWsPerMm3: number } | null
  /** The fastest speed that any source gives for it, and whether that is of the work material; null where none is known. */
  readonly fastestMPerMin: number | null
  readonly fastestOfMaterial: boolean
  readonly sources: readonly ValueSource[]
}

/** What of a cut the values depend on. */
interface AskedValues {
  readonly kind: CutterKind
  readonly pass: CutPass
  readonly diameterMm: number
  readonly materialName: string | null
  readonly cutterMaterial: CutterMaterial | null
  readonly cuttingSpeedMPerMin: number | null
  readonly chipLoadMm: number | null
  readonly specificEnergyWsPerMm3: number | null
}

const OWN: Sourced = { source: 'given here', status: 'own' }

/**
 * The values to start from: those given, then those of the user's own newest good cut like it, then those of the
 * material; or why there are none.
 */
export function startingValues(
  asked: AskedValues,
  materials: readonly MaterialData[],
  experience: (material: MaterialData) => OwnExperience | null,
): StartingValues | CutProblem {
  const { kind, pass, cutterMaterial } = asked
  const material = asked.materialName === null ? null : findMaterial(materials, asked.materialName)
  if (material === null && asked.materialName !== null) {
    return { problem: 'unknown-material', name: asked.materialName, known: materials.map((one) => one.name) }
  }
  const speed = material === null ? null : startingSpeed(material, kind, cutterMaterial)
  const row = material === null ? null : startingChipLoad(material, kind, cutterMaterial)
  const start = row === null ? null : startingChipLoadMm(row, chipLoadFor(row, asked.diameterMm), pass)

  const noted = material === null ? null : (experience(material)?.start ?? null)
  const cuttingSpeedMPerMin =
    asked.cuttingSpeedMPerMin ?? noted?.cuttingSpeedMPerMin ?? speed?.cuttingSpeedMPerMin
  if (cuttingSpeedMPerMin === undefined) return lacking('cutting speed', material, asked)
  const chipLoadMm = asked.chipLoadMm ?? noted?.chipLoadMm ?? start?.chipLoadMm
  if (chipLoadMm === undefined) return lacking('chip load', material, asked)

  const energy = asked.specificEnergyWsPerMm3
  const known = material?.specificEnergy ?? null
  const others = (row?.others ?? []).filter(
    ({ forDiameterMm }) => forDiameterMm === null || near(forDiameterMm, asked.diameterMm),
  )
  return {
    material,
    cuttingSpeedMPerMin,
    chipLoadMm,
    range: start?.range ?? null,
    specificEnergy: energy === null ? known : { lowWsPerMm3: energy, highWsPerMm3: energy },
    ...fastest(asked, speed === null ? null : fastestPrintedMPerMin(speed), material, materials),
    sources: [
      asked.cuttingSpeedMPerMin !== null
        ? source('cutting speed', OWN)
        : noted !== null
          ? source('cutting speed', noteSource(noted.at))
          : source('cutting speed', speed ?? OWN, speed?.others),
      asked.chipLoadMm !== null
        ? source('chip load', OWN)
        : noted !== null
          ? source('chip load', noteSource(noted.at))
          : source('chip load', row ?? OWN, others),
      ...(start !== null && start.range.scale < 1 && asked.chipLoadMm === null && noted === null
        ? [SMALLER]
        : []),
      ...(energy !== null
        ? [source('specific energy', OWN)]
        : known === null
          ? []
          : [source('specific energy', known)]),
    ],
  }
}

/** A cut that went well is where its like starts from. */
function noteSource(at: string): Sourced {
  return { source: `your own note of a good cut on ${at.slice(0, 10)}`, status: 'own' }
}

const SMALLER: ValueSource = {
  value: 'chip load of a smaller cutter',
  source: 'in proportion to the diameter below that of the row',
  status: 'common practice',
  others: [],
}

/** Feeds by diameter are compared with those printed for about the same one. */
function near(printedMm: number, diameterMm: number): boolean {
  return diameterMm > printedMm / 1.5 && diameterMm < printedMm * 1.5
}

function source(
  value: ValueSource['value'],
  from: Sourced,
  others: readonly OtherFigure[] = [],
): ValueSource {
  return { value, source: from.source, status: from.status, others }
}

/** Without a work material a speed is held against the material that is cut fastest. */
function fastest(
  { kind, cutterMaterial }: AskedValues,
  ofMaterial: number | null,
  material: MaterialData | null,
  materials: readonly MaterialData[],
): Pick<StartingValues, 'fastestMPerMin' | 'fastestOfMaterial'> {
  if (material !== null) return { fastestMPerMin: ofMaterial, fastestOfMaterial: true }
  const speeds = materials.flatMap((one) => startingSpeed(one, kind, cutterMaterial) ?? [])
  return {
    fastestMPerMin: speeds.length === 0 ? null : Math.max(...speeds.map(fastestPrintedMPerMin)),
    fastestOfMaterial: false,
  }
}

function lacking(
  what: 'cutting speed' | 'chip load',
  material: MaterialData | null,
  { kind, cutterMaterial }: AskedValues,
): CutProblem {
  if (material === null) return { problem: 'no-material', lacking: what }
  if (cutterMaterial === null) return { problem: 'no-cutter-material', material: material.name }
  return { problem: 'no-row', material: material.name, kind, cutterMaterial, lacking: what }
}
