import { UsageError } from '../../errors/index.js'
import { checkDial, type ReadoutSettings, type TakeConditions } from '../../jobs/index.js'
import type { Axis, DialSetting, MachineAxis } from '../../store/index.js'
import { type LengthUnit, parseDialSetting, parseLengthMm } from '../../units/index.js'
import { type AxisOptions, nowIso } from '../context.js'
import { parseTags } from '../options.js'
import { baudRate } from '../readout/port-link.js'

/** Options that say which port to read and how to read its lines. */
export interface LineOptions extends AxisOptions {
  readonly port?: string
  readonly baud?: string
  readonly wait: string
  readonly readout?: string
  readonly unit?: LengthUnit
  readonly countLength?: string
}

/** Options that say under which conditions runs are made. */
export interface ConditionOptions {
  readonly sameSetting?: boolean
  readonly tag: readonly string[]
  readonly note?: string
  /** The measuring session by a name of the user's. */
  readonly session?: string
  /** Who times with the stopwatch. */
  readonly person?: string
  /** How far the times of an entry may be off, where that is said. */
  readonly timingError?: string
  readonly yes?: boolean
}

export interface TraverseOptions extends LineOptions, ConditionOptions {
  readonly from: readonly string[]
  readonly for?: string
  readonly dial?: string
  /** The settings that the dial is turned through in one travel. */
  readonly settings?: string
  readonly distance?: string
  readonly time?: string
  readonly direction?: string
  readonly markEvery?: string
  readonly stopwatch?: boolean
  readonly check?: boolean
  readonly save: boolean
}

/** The conditions that go with every take of this call. */
export function conditionsFrom(options: ConditionOptions & { readonly check?: boolean }): TakeConditions {
  return {
    dialReset: options.sameSetting !== true,
    tags: {
      ...(options.person === undefined ? {} : { person: options.person }),
      ...parseTags(options.tag),
    },
    note: options.note ?? null,
    startedAt: nowIso(),
    ...(options.session === undefined ? {} : { sessionName: sessionNameFrom(options.session) }),
    ...(options.check === true ? { check: true } : {}),
  }
}

/** The name of a measuring session as the user gave it. @throws UsageError `bad-session` */
function sessionNameFrom(text: string): string {
  const name = text.trim()
  if (name !== '') return name
  throw new UsageError('bad-session', '--session: the name is empty.', 'Name the session, such as monday.')
}

/** The `--dial` of the call. @throws UsageError `dial-missing` */
export function requiredDial(options: TraverseOptions, axis: Axis): DialSetting {
  if (options.dial === undefined) {
    throw new UsageError('dial-missing', 'It is not clear which dial setting this is.', 'Give --dial D.')
  }
  return checkDial(axis, parseDialSetting(options.dial, '--dial', axis))
}

/** How bare lines are to be read, as far as the user says so. */
export async function lineReading(
  options: LineOptions,
  { axis }: MachineAxis,
): Promise<Omit<ReadoutSettings, 'fromSpreadsheet'>> {
  const { loadReadoutProfile } = await import('../../ingest/index.js')
  const baud = baudRate(options.baud)
  if (options.unit !== undefined && axis.rotary) {
    throw new UsageError(
      'other-kind',
      `--unit ${options.unit}: axis ${axis.name} turns, and its numbers are degrees.`,
      'Leave --unit out.',
    )
  }
  return {
    profile: options.readout === undefined ? null : await loadReadoutProfile(options.readout),
    bareUnit: options.unit ?? axis.unit,
    ...(options.unit === undefined && options.countLength === undefined ? {} : { unitBasis: 'said' }),
    countLengthMm: options.countLength === undefined ? null : positiveLength(options.countLength, axis.unit),
    ...(baud === null ? {} : { baudRate: baud }),
  }
}

function positiveLength(text: string, unit: LengthUnit): number {
  const lengthMm = parseLengthMm(text, unit, '--count-length')
  if (lengthMm > 0) return lengthMm
  throw new UsageError(
    'bad-length',
    `--count-length: ${text} is not above zero.`,
    `Write it like ${unit === 'deg' ? '0.01deg' : '0.005mm or 0.0002in'}.`,
  )
}
