import { fromMm, type LengthUnit } from '../units/index.js'

/** How a simulated readout writes a line. */
export type ReadoutShape =
  /** `X+012.3450` */
  | { readonly kind: 'labelled'; readonly axis: string; readonly unitSuffix?: boolean }
  /** `X+012.3450 Y-003.1000 Z+000.0000`: only the axis named moves, the others stand still. */
  | { readonly kind: 'several-axes'; readonly axis: string; readonly axes: readonly string[] }
  /** `12.3450,-3.1000,0.0000`: bare columns; the moving one is `column`, counted from 0. */
  | { readonly kind: 'columns'; readonly column: number; readonly columns: number }
  /** `+0024690`: counts of the readout's own step. */
  | { readonly kind: 'counts' }

/** A device's own clock as a column of whole milliseconds, before or after the rest of the line. */
export interface DeviceTimeColumn {
  readonly place: 'first' | 'last'
  /** Bits before it wraps to 0. */
  readonly bits: 16 | 32
  /** Relative error of its rate: 0.003 counts 1.003 s in a true second. */
  readonly rateError: number
  /** What it shows at the start of the recording, ms. */
  readonly startsAtMs: number
}

/** What a line is to show. `steps` is the position in whole readout steps. */
interface ShownReading {
  readonly steps: number
  readonly stepMm: number
  readonly unit: LengthUnit
  readonly deviceMs: number | null
}

/** Where the axes that do not move stand, in steps (judgement: any negative number with several digits). */
const STANDING_STEPS = -1240

/** Characters of a labelled length after its sign, `012.3450` (by definition of the simulated shape). */
const SIGNED_WIDTH = 8

/** One line of a readout without its terminator. */
export function formatLine(
  shape: ReadoutShape,
  reading: ShownReading,
  device: DeviceTimeColumn | null,
): string {
  const body = formatBody(shape, reading)
  if (device === null || reading.deviceMs === null) return body
  const shown = Math.floor(reading.deviceMs) % 2 ** device.bits
  const separator = shape.kind === 'columns' ? ',' : ' '
  return device.place === 'first' ? `${shown}${separator}${body}` : `${body}${separator}${shown}`
}

function formatBody(shape: ReadoutShape, reading: ShownReading): string {
  const moving = reading.steps
  switch (shape.kind) {
    case 'labelled':
      return `${shape.axis}${signedLength(moving, reading)}${shape.unitSuffix ? reading.unit : ''}`
    case 'several-axes':
      return shape.axes
        .map((axis) => `${axis}${signedLength(axis === shape.axis ? moving : STANDING_STEPS, reading)}`)
        .join(' ')
    case 'columns':
      return Array.from({ length: shape.columns }, (_, column) =>
        plainLength(column === shape.column ? moving : STANDING_STEPS, reading),
      ).join(',')
    case 'counts':
      return `${moving < 0 ? '-' : '+'}${String(Math.abs(moving)).padStart(7, '0')}`
  }
}

function signedLength(steps: number, reading: ShownReading): string {
  const digits = plainLength(Math.abs(steps), reading)
  return `${steps < 0 ? '-' : '+'}${digits.padStart(SIGNED_WIDTH, '0')}`
}

/** Readouts show 0.0001 in or 0.001 mm. */
function plainLength(steps: number, { stepMm, unit }: ShownReading): string {
  return fromMm(steps * stepMm, unit).toFixed(unit === 'in' ? 4 : 3)
}
