import { z } from 'zod'
import { TablepaceError, UsageError } from '../../errors/index.js'
import { parseCuttingSpeedMPerMin, parseLengthMm, parseSpecificEnergyWsPerMm3 } from '../../units/index.js'
import type { MaterialData } from './cutting-data.js'

const withUnit = (unit: RegExp, example: string) =>
  z.string().regex(unit, `write a number with its unit, like ${example}`)
const speed = withUnit(/\d\s*(?:ft|m)\/min$/, '28m/min')
const length = withUnit(/\d\s*(?:in|mm)$/, '0.003in')
const energy = withUnit(/\d\s*(?:W\s?s\/mm3|hp\s?min\/in3)$/, '2.7 W s/mm3')

const sourced = {
  source: z.string().min(1),
  status: z.enum(['published', 'common practice', 'from memory', 'own']),
}

const cutter = z.strictObject({
  material: z.enum(['hss', 'carbide']),
  cuttingSpeed: z.strictObject({ value: speed, ...sourced }).optional(),
  chipLoad: z
    .strictObject({ low: length, high: length, forDiameter: length.optional(), ...sourced })
    .optional(),
})

/** A file of starting values for milling; quantities are texts with their unit. */
export const cuttingDataSchema = z.strictObject({
  title: z.string().optional(),
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
  try {
    return read.data.materials.map(({ name, also, specificEnergy, cutters }) => ({
      name,
      also: also ?? [],
      specificEnergy:
        specificEnergy === undefined
          ? null
          : {
              lowWsPerMm3: parseSpecificEnergyWsPerMm3(specificEnergy.low, name),
              highWsPerMm3: parseSpecificEnergyWsPerMm3(specificEnergy.high, name),
              source: specificEnergy.source,
              status: specificEnergy.status,
            },
      cutters: cutters.map((row) => readCutter(row, name, place)),
    }))
  } catch (error) {
    if (error instanceof TablepaceError && error.code !== 'bad-cutting-data') {
      throw bad(place, '', error.message)
    }
    throw error
  }
}

function readCutter({ material, cuttingSpeed, chipLoad }: CutterText, name: string, place: string) {
  const lengthMm = (text: string) => parseLengthMm(text, 'mm', name)
  if (chipLoad !== undefined && !(lengthMm(chipLoad.low) <= lengthMm(chipLoad.high))) {
    throw bad(place, `${name}, ${material}`, 'the low chip load is above the high one')
  }
  return {
    cutterMaterial: material,
    cuttingSpeed:
      cuttingSpeed === undefined
        ? null
        : {
            cuttingSpeedMPerMin: parseCuttingSpeedMPerMin(cuttingSpeed.value, 'mm', name),
            source: cuttingSpeed.source,
            status: cuttingSpeed.status,
          },
    chipLoad:
      chipLoad === undefined
        ? null
        : {
            lowMm: lengthMm(chipLoad.low),
            highMm: lengthMm(chipLoad.high),
            forDiameterMm: chipLoad.forDiameter === undefined ? null : lengthMm(chipLoad.forDiameter),
            source: chipLoad.source,
            status: chipLoad.status,
          },
  }
}

function bad(place: string, where: string, what: string): UsageError {
  return new UsageError(
    'bad-cutting-data',
    `${place} cannot serve as starting values${where === '' ? '' : `, ${where}`}: ${what}.`,
    'Compare it with calibration/cutting-data.json.',
  )
}
