import * as z from 'zod'
import { TablepaceError, UsageError } from '../../../errors/index.js'
import { parseCuttingSpeedMPerMin, parseLengthMm, parseSpecificEnergyWsPerMm3 } from '../../../units/index.js'
import { CUTTER_KINDS } from './cutter-kinds.js'
import {
  type ChipLoadRange,
  type CutterRow,
  type MaterialData,
  SOURCE_STATUS,
  type Sourced,
} from './cutting-data.js'

const withUnit = (unit: RegExp, example: string) =>
  z.string().regex(unit, `write a number with its unit, like ${example}`)
const speed = withUnit(/\d\s*(?:ft|m)\/min$/, '28m/min')
const length = withUnit(/\d\s*(?:in|mm)$/, '0.003in')
const energy = withUnit(/\d\s*(?:W\s?s\/mm3|hp\s?min\/in3)$/, '2.7 W s/mm3')

const sourced = {
  /** A name of the file's `sources`, or the source itself. */
  source: z.string().min(1),
  status: z.enum(SOURCE_STATUS),
}

const cutter = z.strictObject({
  material: z.enum(['hss', 'carbide']),
  /** Kinds of cutter; without them the speed is for every mill and the chip load for end mills. */
  for: z.array(z.enum(CUTTER_KINDS)).min(1).optional(),
  cuttingSpeed: z
    .strictObject({
      value: speed,
      ...sourced,
      others: z.array(z.strictObject({ low: speed, high: speed, ...sourced })).optional(),
    })
    .optional(),
  chipLoad: z
    .strictObject({
      low: length,
      high: length,
      forDiameter: length.optional(),
      /** Further diameters, rising from `forDiameter`. */
      larger: z.array(z.strictObject({ forDiameter: length, low: length, high: length })).optional(),
      finishing: z.strictObject({ low: length, high: length }).optional(),
      ...sourced,
      others: z
        .array(z.strictObject({ low: length, high: length, forDiameter: length.optional(), ...sourced }))
        .optional(),
    })
    .optional(),
})

/** A file of starting values for cuts; quantities are texts with their unit. */
export const cuttingDataSchema = z.strictObject({
  title: z.string().optional(),
  /** Sources by a short name that the rows give. */
  sources: z.record(z.string(), z.string().min(1)).optional(),
  materials: z.array(
    z.strictObject({
      name: z.string().min(1),
      also: z.array(z.string().min(1)).optional(),
      specificEnergy: z.strictObject({ low: energy, high: energy, ...sourced }).optional(),
      cutters: z.array(cutter),
    }),
  ),
})

type CutterText = z.infer<typeof cutter>
type SourceOf = (text: Sourced) => Sourced

/**
 * Reads starting values from parsed JSON; `place` names the file in errors.
 *
 * @throws UsageError `bad-cutting-data` naming file, material and field
 */
export function parseCuttingData(json: unknown, place: string): MaterialData[] {
  const read = cuttingDataSchema.safeParse(json)
  if (!read.success) {
    const issue = read.error.issues[0]
    throw bad(place, issue?.path.join('.') ?? '', issue?.message ?? 'unreadable')
  }
  const { sources = {}, materials } = read.data
  const sourceOf: SourceOf = ({ source, status }) => ({ source: sources[source] ?? source, status })
  try {
    return materials.map(({ name, also, specificEnergy, cutters }) => ({
      name,
      also: also ?? [],
      specificEnergy:
        specificEnergy === undefined
          ? null
          : {
              lowWsPerMm3: parseSpecificEnergyWsPerMm3(specificEnergy.low, name),
              highWsPerMm3: parseSpecificEnergyWsPerMm3(specificEnergy.high, name),
              ...sourceOf(specificEnergy),
            },
      cutters: cutters.map((row) => readCutter(row, name, place, sourceOf)),
    }))
  } catch (error) {
    if (error instanceof TablepaceError && error.code !== 'bad-cutting-data') {
      throw bad(place, '', error.message)
    }
    throw error
  }
}

function readCutter(row: CutterText, name: string, place: string, sourceOf: SourceOf): CutterRow {
  const { material, cuttingSpeed, chipLoad } = row
  const speedMPerMin = (text: string) => parseCuttingSpeedMPerMin(text, 'mm', name)
  const chipLoads = chipLoad === undefined ? null : readChipLoad(chipLoad, name, sourceOf)
  if (chipLoads?.sizes.some(({ lowMm, highMm }) => !(lowMm <= highMm))) {
    throw bad(place, `${name}, ${material}`, 'the low chip load is above the high one')
  }
  return {
    cutterMaterial: material,
    kinds: row.for ?? null,
    cuttingSpeed:
      cuttingSpeed === undefined
        ? null
        : {
            cuttingSpeedMPerMin: speedMPerMin(cuttingSpeed.value),
            ...sourceOf(cuttingSpeed),
            others: (cuttingSpeed.others ?? []).map((other) => ({
              low: speedMPerMin(other.low),
              high: speedMPerMin(other.high),
              ...sourceOf(other),
            })),
          },
    chipLoad: chipLoads,
  }
}

function readChipLoad(
  chipLoad: NonNullable<CutterText['chipLoad']>,
  name: string,
  sourceOf: SourceOf,
): ChipLoadRange {
  const lengthMm = (text: string) => parseLengthMm(text, 'mm', name)
  const diameterMm = (text: string | undefined) => (text === undefined ? null : lengthMm(text))
  const range = ({ low, high }: { low: string; high: string }) => ({
    lowMm: lengthMm(low),
    highMm: lengthMm(high),
  })
  const sizes = [chipLoad, ...(chipLoad.larger ?? [])].map((size) => ({
    ...range(size),
    forDiameterMm: diameterMm(size.forDiameter),
  }))
  return {
    sizes: sizes.sort((a, b) => (a.forDiameterMm ?? 0) - (b.forDiameterMm ?? 0)),
    finishing: chipLoad.finishing === undefined ? null : range(chipLoad.finishing),
    ...sourceOf(chipLoad),
    others: (chipLoad.others ?? []).map((other) => ({
      low: lengthMm(other.low),
      high: lengthMm(other.high),
      forDiameterMm: diameterMm(other.forDiameter),
      ...sourceOf(other),
    })),
  }
}

function bad(place: string, where: string, what: string): UsageError {
  return new UsageError(
    'bad-cutting-data',
    `${place} cannot be used as starting values${where === '' ? '' : `, ${where}`}: ${what}.`,
    'Compare it with calibration/cutting-data.json.',
  )
}
