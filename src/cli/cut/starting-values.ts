import { UsageError } from '../../errors/index.js'
import type { CuttingData } from '../../jobs/index.js'
import {
  type CutterRow,
  chipLoadFor,
  type FittingChipLoad,
  findMaterial,
  type MaterialData,
  type Sourced,
} from '../../planning/cut/index.js'
import type { AskedCut, CutOptions } from './options.js'

/** Where one value of a cut comes from. */
export interface ValueSource extends Sourced {
  readonly value: 'cutting speed' | 'chip load' | 'chip load of a smaller cutter' | 'specific energy'
}

/** Cutting speed, chip load and specific energy of a cut, the user's own before those of the material. */
export interface StartingValues {
  readonly material: MaterialData | null
  readonly cuttingSpeedMPerMin: number
  readonly chipLoadMm: number
  /** Chip loads that the cutter stands; null where no material says. */
  readonly range: FittingChipLoad | null
  readonly specificEnergy: { readonly lowWsPerMm3: number; readonly highWsPerMm3: number } | null
  readonly sources: readonly ValueSource[]
}

const OWN: Sourced = { source: 'given on the command line', status: 'own' }

/**
 * The values to start from: `--speed`, `--chip-load` and `--specific-energy` as given, the rest from the material.
 *
 * @throws UsageError `unknown-material` naming the known ones, `no-cutting-values`
 */
export function startingValues(asked: AskedCut, options: CutOptions, data: CuttingData): StartingValues {
  const material = options.material === undefined ? null : materialNamed(options.material, data)
  const row = material?.cutters.find((one) => one.cutterMaterial === options.cutterMaterial) ?? null
  const ofRow = row?.chipLoad ?? null
  const range = ofRow === null ? null : chipLoadFor(ofRow, asked.diameterMm)
  const sources: ValueSource[] = []
  const note = (value: ValueSource['value'], { source, status }: Sourced) =>
    sources.push({ value, source, status })

  const cuttingSpeedMPerMin = asked.cuttingSpeedMPerMin ?? row?.cuttingSpeed?.cuttingSpeedMPerMin
  if (cuttingSpeedMPerMin === undefined)
    throw missing('cutting speed', '--speed 90ft/min', options, material, row)
  note('cutting speed', asked.cuttingSpeedMPerMin === null ? (row?.cuttingSpeed ?? OWN) : OWN)

  const chipLoadMm = asked.chipLoadMm ?? (range === null ? undefined : (range.lowMm + range.highMm) / 2)
  if (chipLoadMm === undefined) throw missing('chip load', '--chip-load 0.003in', options, material, row)
  note('chip load', asked.chipLoadMm === null ? (ofRow ?? OWN) : OWN)
  if (range !== null && range.scale < 1) {
    const source = 'in proportion to the diameter below that of the row'
    note('chip load of a smaller cutter', { source, status: 'common practice' })
  }

  const energy = asked.specificEnergyWsPerMm3
  const specificEnergy =
    energy === null ? (material?.specificEnergy ?? null) : { lowWsPerMm3: energy, highWsPerMm3: energy }
  if (specificEnergy !== null) {
    note('specific energy', energy === null ? (material?.specificEnergy ?? OWN) : OWN)
  }
  return { material, cuttingSpeedMPerMin, chipLoadMm, range, specificEnergy, sources }
}

/** @throws UsageError `unknown-material` naming the known ones */
export function materialNamed(name: string, { materials, ownFile }: CuttingData): MaterialData {
  const found = findMaterial(materials, name)
  if (found !== null) return found
  throw new UsageError(
    'unknown-material',
    `There is no material "${name}" among the starting values.`,
    `Known are ${materials.map((one) => one.name).join(', ')}; \`tablepace materials\` lists them. Give --speed and --chip-load yourself, or add the material to ${ownFile}.`,
  )
}

function missing(
  what: string,
  example: string,
  options: CutOptions,
  material: MaterialData | null,
  row: CutterRow | null,
): UsageError {
  const hint = `Give it like ${example}, or name --material and --cutter-material hss|carbide.`
  if (material === null)
    return new UsageError('no-cutting-values', `Nothing says which ${what} to start from.`, hint)
  if (options.cutterMaterial === undefined) {
    return new UsageError(
      'no-cutting-values',
      `Nothing says what the cutter for ${material.name} is made of.`,
      'Give --cutter-material hss or --cutter-material carbide.',
    )
  }
  const lacking = row === null ? `no row for a cutter of ${options.cutterMaterial}` : `no ${what}`
  return new UsageError(
    'no-cutting-values',
    `The starting values for ${material.name} have ${lacking}.`,
    `Give your own with --speed and --chip-load.`,
  )
}
