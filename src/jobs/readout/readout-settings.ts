import type { IngestOptions, ReadoutProfile } from '../../ingest/index.js'
import { lengthUnitOf, spreadsheetNumberFormat } from '../../ingest/index.js'
import type { Reading } from '../../planning/mix-ups/index.js'
import type { Axis, Recording } from '../../store/index.js'
import { type LengthUnit, mmPer } from '../../units/index.js'

/** A travel without a stop in which the dial was turned through several settings. */
interface TurnedDial {
  /** In the order turned. */
  readonly dials: readonly number[]
  /** Made live: where the travel ended before the last of them, the first ones count. */
  readonly mayEndEarly: boolean
  /** How many were seen to be known well enough as it was made; the one after the last of them may show as well. */
  readonly known?: number | undefined
}

/** What reading raw lines needs besides the lines; kept with the recording, so that it can be judged again. */
export interface ReadoutSettings {
  /** The line profile named by the user, whole, so that a later change of its file changes nothing here. */
  readonly profile: ReadoutProfile | null
  /** Unit of numbers that carry none. */
  readonly bareUnit: LengthUnit
  /** The numbers are counts of this length, mm; null where they are lengths. */
  readonly countLengthMm: number | null
  /** The lines are cells of a spreadsheet, which drops trailing zeros: no fixed count of decimals is demanded. */
  readonly fromSpreadsheet: boolean
  /** How the unit is known: a person or a file said it, a known move showed it; left out where it is the machine's. */
  readonly unitBasis?: 'said' | 'moved' | undefined
  /** Baud rate of the wire; left out where the lines came from elsewhere and nobody said it. */
  readonly baudRate?: number | undefined
  /** The settings the dial was turned through on the way; left out where it stood at one. */
  readonly turned?: TurnedDial | undefined
}

/** How to read the lines of one axis. */
export function ingestOptions(
  settings: ReadoutSettings,
  axis: Pick<Axis, 'name'> & Partial<Pick<Axis, 'rotary'>>,
): IngestOptions {
  return {
    axis: axis.name,
    // What was recorded in mm before the axis was said to turn is degrees.
    bareUnit: axis.rotary ? 'deg' : settings.bareUnit,
    ...(settings.countLengthMm === null ? {} : { countLengthMm: settings.countLengthMm }),
    ...(settings.profile === null ? {} : { profile: settings.profile }),
    ...(settings.baudRate === undefined ? {} : { baudRate: settings.baudRate }),
    ...(settings.fromSpreadsheet
      ? { format: spreadsheetNumberFormat(settings.countLengthMm ?? mmPer(settings.bareUnit)) }
      : {}),
  }
}

/** The two JSON fields of a recording that hold its settings. */
export function storedSettings(settings: ReadoutSettings): { readout: unknown; units: unknown } {
  const { profile, fromSpreadsheet, baudRate, turned, bareUnit, countLengthMm, unitBasis } = settings
  const wire = baudRate === undefined ? {} : { baudRate }
  const dial =
    turned === undefined ? {} : { turned: { dials: turned.dials, mayEndEarly: turned.mayEndEarly } }
  const basis = unitBasis === undefined ? {} : { unitBasis }
  return {
    readout: { profile, fromSpreadsheet, ...wire, ...dial },
    units: { bareUnit, countLengthMm, ...basis },
  }
}

/** The settings of a stored recording. They were written by `storedSettings`, so only their shape is assumed. */
export function settingsOf(recording: Pick<Recording, 'readout' | 'units'>): ReadoutSettings {
  const readout = recording.readout as Omit<ReadoutSettings, 'bareUnit' | 'countLengthMm' | 'unitBasis'>
  const units = recording.units as Pick<ReadoutSettings, 'bareUnit' | 'countLengthMm' | 'unitBasis'>
  return { ...readout, ...units }
}

/** How the numbers of a readout were turned into lengths, and how that is known. */
export function readingOf(
  { profile, bareUnit, countLengthMm, unitBasis }: ReadoutSettings,
  unitInLines: boolean,
): Reading {
  const source = 'readout'
  if (unitInLines) return { source, unit: bareUnit, countLengthMm: null, basis: 'lines' }
  const said = profile === null ? null : lengthUnitOf(profile)
  if (said !== null) return { source, unit: said, countLengthMm: null, basis: 'said' }
  const counts = (profile?.unit === 'counts' ? profile.countLengthMm : undefined) ?? countLengthMm
  return {
    source,
    unit: bareUnit,
    countLengthMm: counts,
    basis: unitBasis ?? (counts === null ? 'assumed' : 'said'),
  }
}
