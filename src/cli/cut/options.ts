import type { AskedCut } from '../../jobs/index.js'
import type { CutPass, CutterMaterial, Rotation, WorkSide } from '../../planning/cut/index.js'
import {
  type MachineUnit,
  parseCuttingSpeedMPerMin,
  parseForceN,
  parseLengthMm,
  parseNumber,
  parsePowerW,
  parseSpecificEnergyWsPerMm3,
} from '../../units/index.js'
import type { CutFieldNames } from '../../words/index.js'
import type { AxisOptions } from '../context.js'
import type { LoadOption } from '../load.js'
import { parseDirection } from '../options.js'

export interface CutOptions extends AxisOptions, LoadOption {
  readonly diameter: string
  readonly cutter: string
  readonly pass: CutPass
  readonly teeth?: string
  readonly material?: string
  readonly cutterMaterial?: CutterMaterial
  readonly speed?: string
  readonly chipLoad?: string
  readonly width?: string
  readonly depth?: string
  readonly stickOut?: string
  readonly cornerRadius?: string
  readonly specificEnergy?: string
  readonly motor?: string
  readonly push?: string
  readonly workSide?: WorkSide
  readonly rotation: Rotation
  readonly direction?: string
}

/** The options by what they are of the cut. */
export const CUT_OPTIONS: CutFieldNames = {
  diameter: '--diameter',
  teeth: '--teeth',
  material: '--material',
  cutter: '--cutter',
  cutterMaterial: '--cutter-material',
  speed: '--speed',
  chipLoad: '--chip-load',
  width: '--width',
  depth: '--depth',
  stickOut: '--stick-out',
  cornerRadius: '--corner-radius',
  specificEnergy: '--specific-energy',
  motor: '--motor',
  push: '--push',
  rpm: '--rpm',
  feed: '--feed',
  finish: '--finish',
}

/** Reads the quantities of a cut; bare numbers are in the machine's own units. @throws UsageError */
export function askedCut(options: CutOptions, unit: MachineUnit): AskedCut {
  const length = (text: string | undefined, what: string) =>
    optional(text, (given) => parseLengthMm(given, unit, what))
  const { speed, specificEnergy, motor, push, direction } = options
  return {
    cutter: options.cutter,
    pass: options.pass,
    diameterMm: parseLengthMm(options.diameter, unit, CUT_OPTIONS.diameter),
    teeth: optional(options.teeth, (text) => parseNumber(text, CUT_OPTIONS.teeth)),
    materialName: options.material ?? null,
    cutterMaterial: options.cutterMaterial ?? null,
    cuttingSpeedMPerMin: optional(speed, (text) => parseCuttingSpeedMPerMin(text, unit, CUT_OPTIONS.speed)),
    chipLoadMm: length(options.chipLoad, CUT_OPTIONS.chipLoad),
    widthMm: length(options.width, CUT_OPTIONS.width),
    depthMm: length(options.depth, CUT_OPTIONS.depth),
    stickOutMm: length(options.stickOut, CUT_OPTIONS.stickOut),
    cornerRadiusMm: length(options.cornerRadius, CUT_OPTIONS.cornerRadius),
    specificEnergyWsPerMm3: optional(specificEnergy, (text) =>
      parseSpecificEnergyWsPerMm3(text, CUT_OPTIONS.specificEnergy),
    ),
    motorPowerW: optional(motor, (text) => parsePowerW(text, CUT_OPTIONS.motor)),
    feedPushN: optional(push, (text) => parseForceN(text, unit, CUT_OPTIONS.push)),
    workSide: options.workSide ?? null,
    rotation: options.rotation,
    direction: optional(direction, parseDirection),
    underCut: options.load === 'cutting',
  }
}

function optional<T>(text: string | undefined, parse: (text: string) => T): T | null {
  return text === undefined ? null : parse(text)
}
