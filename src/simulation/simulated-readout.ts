import { type LengthUnit, MM_PER_INCH } from '../units/index.js'
import { type DeviceTimeColumn, formatLine, type ReadoutShape } from './line-shapes.js'
import { type SeededRandom, seededRandom } from './seeded-random.js'
import type { TableMotion } from './traverse-motion.js'

/** What a readout may do wrong on its own side of the wire. */
export interface ReadoutFaults {
  /** Share of readings that never become a line. */
  readonly droppedLineShare?: number
  /** Share of lines with one byte turned into another. */
  readonly garbageByteShare?: number
  /** The first line lacks its beginning, as when listening starts midway. */
  readonly startsMidLine?: boolean
  /** Share of readings that are off by `outlierMm`, to either side. */
  readonly outlierShare?: number
  readonly outlierMm?: number
  /** Someone presses the zero key: from then on positions count from there, s. */
  readonly zeroedAtS?: number
  /** Someone presses the in/mm key, s. */
  readonly unitSwitchedAtS?: number
  /** No lines at all between these times, s. */
  readonly silentS?: readonly [number, number]
}

/** A position readout that sends a line at its own rate. */
export interface SimulatedReadout {
  readonly shape: ReadoutShape
  readonly unit: LengthUnit
  /** Smallest step shown, mm. */
  readonly stepMm: number
  readonly refreshHz: number
  readonly deviceTime: DeviceTimeColumn | null
  readonly terminator: '\r\n' | '\n' | '\r'
  readonly faults: ReadoutFaults
}

/** A usual inch readout: one labelled axis, 0.0002 in, ten lines a second (common practice, no source). */
export const INCH_READOUT: SimulatedReadout = {
  shape: { kind: 'labelled', axis: 'X' },
  unit: 'in',
  stepMm: 0.0002 * MM_PER_INCH,
  refreshHz: 10,
  deviceTime: null,
  terminator: '\r\n',
  faults: {},
}

/** One line as it leaves the readout. */
export interface SentLine {
  /** When the position was read, s of the motion's time. */
  readonly sampledS: number
  /** The position shown, mm, after rounding and after every fault but garbage. */
  readonly shownMm: number
  /** With its terminator. */
  readonly bytes: Buffer
}

/**
 * The lines of a readout that watches a motion, from its start to its end.
 *
 * @param seed decides the phase of the readout's own beat and where faults strike
 * @throws RangeError when the step or the rate is not positive
 */
export function* readoutLines(
  motion: TableMotion,
  readout: SimulatedReadout,
  seed: number,
): Generator<SentLine> {
  const { stepMm, refreshHz, deviceTime, faults } = readout
  if (!(stepMm > 0) || !(refreshHz > 0)) {
    throw new RangeError(`a readout needs a step and a rate, not ${stepMm} mm and ${refreshHz} Hz`)
  }
  const random = seededRandom(seed)
  const phaseS = random.uniform() / refreshHz
  const zeroMm = faults.zeroedAtS === undefined ? 0 : motion.positionMmAt(faults.zeroedAtS)
  let first = true
  for (let index = 0; ; index += 1) {
    const sampledS = phaseS + index / refreshHz
    if (sampledS > motion.durationS) return
    if (isSilent(faults, sampledS) || strikes(random, faults.droppedLineShare)) continue
    const zeroed = faults.zeroedAtS !== undefined && sampledS >= faults.zeroedAtS
    const outlierMm = strikes(random, faults.outlierShare)
      ? (faults.outlierMm ?? 0) * (random.uniform() < 0.5 ? -1 : 1)
      : 0
    // A count is whole: -0 would show as "-0.0000".
    const steps = Math.round((motion.positionMmAt(sampledS) - (zeroed ? zeroMm : 0) + outlierMm) / stepMm) + 0
    const deviceMs = deviceTime && deviceTime.startsAtMs + 1000 * sampledS * (1 + deviceTime.rateError)
    const switched = faults.unitSwitchedAtS !== undefined && sampledS >= faults.unitSwitchedAtS
    const unit = switched ? otherUnit(readout.unit) : readout.unit
    const text = formatLine(readout.shape, { steps, stepMm, unit, deviceMs }, deviceTime)
    let bytes = Buffer.from(text + readout.terminator, 'latin1')
    if (strikes(random, faults.garbageByteShare)) spoil(bytes, text.length, random)
    if (first && faults.startsMidLine) bytes = bytes.subarray(Math.ceil(text.length / 2))
    first = false
    yield { sampledS, shownMm: steps * stepMm, bytes }
  }
}

function strikes(random: SeededRandom, share: number | undefined): boolean {
  return share !== undefined && random.uniform() < share
}

function isSilent({ silentS }: ReadoutFaults, timeS: number): boolean {
  return silentS !== undefined && timeS >= silentS[0] && timeS < silentS[1]
}

function otherUnit(unit: LengthUnit): LengthUnit {
  return unit === 'in' ? 'mm' : 'in'
}

/** Turns one byte of the text into another; never a terminator, which would be a fault of another kind. */
function spoil(bytes: Buffer, textLength: number, random: SeededRandom): void {
  const at = Math.floor(random.uniform() * textLength)
  let byte: number
  do byte = Math.floor(random.uniform() * 256)
  while (byte === 0x0a || byte === 0x0d || byte === bytes[at])
  bytes[at] = byte
}
