import {
  INCH_READOUT,
  type SerialLink,
  type SimulatedReadout,
  USB_LINK,
} from '../../../src/simulation/index.js'
import { MM_PER_INCH } from '../../../src/units/index.js'

/** A readout and the way its bytes take to the host. */
export interface ReadoutKind {
  readonly name: string
  readonly readout: SimulatedReadout
  readonly link: SerialLink
}

const FAST_LINK: SerialLink = { ...USB_LINK, baud: 57_600 }
const clock = (bits: 16 | 32, rateError: number) =>
  ({
    place: bits === 16 ? 'first' : 'last',
    bits,
    rateError,
    startsAtMs: bits === 16 ? 60_000 : 9_876_543,
  }) as const

function kind(name: string, changes: Partial<SimulatedReadout>, link: SerialLink = USB_LINK): ReadoutKind {
  return { name, readout: { ...INCH_READOUT, unit: 'mm', ...changes }, link }
}

/** Shapes of lines, steps from 0.001 mm to 0.01 mm and 0.0005 in, 5 to 60 lines a second, clocks and adapters. */
export const READOUT_KINDS: readonly ReadoutKind[] = [
  kind('labelled, 0.0002 in, 10 Hz', { unit: 'in', stepMm: 0.0002 * MM_PER_INCH }),
  kind('labelled with unit, 0.0005 in, 5 Hz', {
    shape: { kind: 'labelled', axis: 'X', unitSuffix: true },
    unit: 'in',
    stepMm: 0.0005 * MM_PER_INCH,
    refreshHz: 5,
  }),
  kind('three axes, 0.005 mm, 10 Hz', {
    shape: { kind: 'several-axes', axis: 'X', axes: ['X', 'Y', 'Z'] },
    stepMm: 0.005,
  }),
  kind('columns, 0.01 mm, 5 Hz', {
    shape: { kind: 'columns', column: 1, columns: 3 },
    stepMm: 0.01,
    refreshHz: 5,
  }),
  kind(
    'columns, 0.001 mm, 50 Hz',
    {
      shape: { kind: 'columns', column: 0, columns: 1 },
      stepMm: 0.001,
      refreshHz: 50,
      terminator: '\n',
    },
    FAST_LINK,
  ),
  kind('counts, 0.005 mm, 50 Hz', { shape: { kind: 'counts' }, stepMm: 0.005, refreshHz: 50 }, FAST_LINK),
  kind('labelled, 0.005 mm, 10 Hz, no adapter', { stepMm: 0.005 }, { ...USB_LINK, usbBatchS: 0 }),
  kind(
    'labelled, 0.005 mm, 60 Hz, batches of 64 ms',
    { stepMm: 0.005, refreshHz: 60 },
    { ...FAST_LINK, usbBatchS: 0.064 },
  ),
  kind('columns with 16-bit clock, 0.01 mm, 10 Hz', {
    shape: { kind: 'columns', column: 0, columns: 1 },
    stepMm: 0.01,
    deviceTime: clock(16, 0.004),
  }),
  kind(
    'labelled with 32-bit clock, 0.005 mm, 50 Hz',
    {
      stepMm: 0.005,
      refreshHz: 50,
      deviceTime: clock(32, -0.003),
    },
    FAST_LINK,
  ),
]
