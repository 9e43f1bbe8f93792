import { UsageError } from '../../errors/index.js'
import type { CutterMaterial } from '../../planning/cut/index.js'
import {
  type LengthUnit,
  parseCuttingSpeedMPerMin,
  parseLengthMm,
  parseNumber,
  parsePowerW,
  parseSpecificEnergyWsPerMm3,
} from '../../units/index.js'
import type { AxisOptions } from '../context.js'
import type { LoadOption } from '../load.js'

export interface CutOptions extends AxisOptions, LoadOption {
  readonly diameter: string
  readonly teeth: string
  readonly material?: string
  readonly cutterMaterial?: CutterMaterial
  readonly speed?: string
  readonly chipLoad?: string
  readonly width?: string
  readonly depth?: string
  readonly cornerRadius?: string
  readonly specificEnergy?: string
  readonly motor?: string
  readonly direction?: string
}

/** What the command line says of a cut, in our units; null where it says nothing. */
export interface AskedCut {
  readonly diameterMm: number
  readonly teeth: number
  readonly cuttingSpeedMPerMin: number | null
  readonly chipLoadMm: number | null
  readonly widthMm: number | null
  readonly depthMm: number | null
  readonly cornerRadiusMm: number | null
  readonly specificEnergyWsPerMm3: number | null
  readonly motorPowerW: number | null
}

/** Reads the quantities of a cut; bare numbers are in the machine's own units. @throws UsageError */
export function askedCut(options: CutOptions, unit: LengthUnit): AskedCut {
  const length = (text: string, what: string) => parseLengthMm(text, unit, what)
  return {
    diameterMm: length(options.diameter, '--diameter'),
    teeth: parseNumber(options.teeth, '--teeth'),
    cuttingSpeedMPerMin: optional(options.speed, (text) => parseCuttingSpeedMPerMin(text, unit, '--speed')),
    chipLoadMm: optional(options.chipLoad, (text) => length(text, '--chip-load')),
    widthMm: optional(options.width, (text) => length(text, '--width')),
    depthMm: optional(options.depth, (text) => length(text, '--depth')),
    cornerRadiusMm: optional(options.cornerRadius, (text) =>
      positive(length(text, '--corner-radius'), '--corner-radius'),
    ),
    specificEnergyWsPerMm3: optional(options.specificEnergy, (text) =>
      positive(parseSpecificEnergyWsPerMm3(text, '--specific-energy'), '--specific-energy'),
    ),
    motorPowerW: optional(options.motor, (text) => positive(parsePowerW(text, '--motor'), '--motor')),
  }
}

function optional<T>(text: string | undefined, parse: (text: string) => T): T | null {
  return text === undefined ? null : parse(text)
}

function positive(value: number, what: string): number {
  if (value > 0) return value
  throw new UsageError(
    'bad-cut',
    `${what} must be above zero.`,
    `Give ${what} a size above zero, or leave it out.`,
  )
}
