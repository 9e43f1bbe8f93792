import { sentence, UsageError, way } from '../../errors/index.js'
import { openRecording, type ReadoutProfile, type StopwatchEntry } from '../../ingest/index.js'
import type { Axis, DialSetting } from '../../store/index.js'
import { fromMm, type LengthUnit } from '../../units/index.js'
import { checkDial } from '../live/check-dial.js'
import type { ReadoutSettings } from '../readout/readout-settings.js'
import type { ReadoutTake, StopwatchTake } from './takes.js'
import { timedEntry } from './timed-entry.js'

/** A file named by the user, with its dial setting where that was said. */
export interface NamedFile {
  readonly path: string
  /** What a person calls it, where that is not its path. */
  readonly name?: string | undefined
  readonly dial: DialSetting | null
}

/** What the user says about the lines of the files. */
interface FileReading {
  readonly profile: ReadoutProfile | null
  /** Unit of bare numbers in recordings. */
  readonly bareUnit: LengthUnit
  readonly countLengthMm: number | null
  /** How the unit is known; left out where it is the machine's. */
  readonly unitBasis?: ReadoutSettings['unitBasis']
  /** Baud rate of the wire that the lines came over, where it is known. */
  readonly baudRate?: number | undefined
  /** Unit of bare lengths in stopwatch sheets. */
  readonly machineUnit: LengthUnit
  /** The settings that the dial was turned through on the way of a recording; left out where it stood at one. */
  readonly turnedThrough?: readonly number[] | undefined
}

/** Recordings and stopwatch entries, timed readings among them, found in the files, each in the order named. */
interface OpenedTakes {
  readonly readout: readonly ReadoutTake[]
  readonly stopwatch: readonly StopwatchTake[]
  /** What the user must know of the files, one sentence each. */
  readonly notes: readonly string[]
}

/**
 * Opens recordings and stopwatch sheets; every file is opened before anything is stored, so that a mistyped name
 * stores nothing.
 *
 * @throws UsageError `settings-and-sheet`, `dial-missing` for a recording without a dial, and as `checkDial` does
 * @throws FileError, DataError as `openRecording` does
 */
export async function openTakes(
  files: readonly NamedFile[],
  axis: Axis,
  reading: FileReading,
): Promise<OpenedTakes> {
  const readout: ReadoutTake[] = []
  const stopwatch: StopwatchTake[] = []
  const notes: string[] = []
  for (const { path, name = path, dial } of files) {
    const opened = await openRecording(path, reading.machineUnit, axis)
    if (reading.turnedThrough !== undefined && opened.kind !== 'lines') throw settingsInRows(name)
    if (opened.kind !== 'lines') {
      const entries =
        opened.kind === 'readings'
          ? opened.runs.map((run) => ({ dial: run.dial, note: run.note, entry: timedEntry(run) }))
          : opened.entries.map(({ note, ...entry }) => ({
              ...{ dial: entry.dial, note },
              entry: { ...entry, marks: null },
            }))
      for (const { dial, note, entry } of entries)
        stopwatch.push({ dial: checkDial(axis, dial), origin: name, entry, note: note || null })
      if (dial !== null)
        notes.push(`${name} names the dial in each row; the dial given beside it is not used.`)
      if (opened.kind === 'sheet' && columnsLookSwapped(opened.entries, axis.unit))
        notes.push(
          `${name}: every time is a whole number and no distance is. If the two columns were swapped, leave these runs out and read the corrected sheet.`,
        )
      if (opened.kind === 'sheet' && opened.blankRows > 0)
        notes.push(
          `${name}: ${opened.blankRows === 1 ? '1 row has no time yet and is' : `${opened.blankRows} rows have no time yet and are`} left out.`,
        )
      continue
    }
    const turned = reading.turnedThrough?.map((one) => checkDial(axis, one) as number)
    const first = turned?.[0] ?? dial
    if (first === null) {
      throw new UsageError(
        'dial-missing',
        `The dial setting of ${name} is not given.`,
        sentence`Give the dial setting${way('dial', { path: name })}.`,
      )
    }
    const fromSpreadsheet = opened.numbers === 'spreadsheet'
    readout.push({
      dial: checkDial(axis, first),
      origin: name,
      settings: {
        ...(turned === undefined ? {} : { turned: { dials: turned, mayEndEarly: false } }),
        profile: reading.profile,
        bareUnit: opened.unit ?? reading.bareUnit,
        countLengthMm: opened.unit === null ? reading.countLengthMm : null,
        ...(opened.unit === null ? { unitBasis: reading.unitBasis } : { unitBasis: 'said' }),
        fromSpreadsheet,
        ...(reading.baudRate === undefined ? {} : { baudRate: reading.baudRate }),
      },
      lines: opened.lines,
    })
  }
  return { readout, stopwatch, notes }
}

function settingsInRows(path: string): UsageError {
  return new UsageError(
    'settings-and-sheet',
    `${path} says in each row which dial setting it is for.`,
    'Leave the settings out; they are for a recording of one travel in which the dial was turned.',
  )
}

/**
 * Whether times and distances of a sheet look swapped: a person goes round distances, and a stopwatch shows hundredths.
 * Times that are all the same are those of a person who lets the table run so long and measures how far it went.
 */
function columnsLookSwapped(entries: readonly StopwatchEntry[], unit: LengthUnit): boolean {
  const times = new Set(entries.map(({ durationS }) => durationS))
  const isRound = (value: number) => Math.abs(value - Math.round(value)) < 1e-6
  return (
    entries.length >= FEWEST_SWAPPED &&
    times.size > 1 &&
    [...times].every(isRound) &&
    entries.every(({ distanceMm }) => !isRound(fromMm(distanceMm, unit) * PARTS[unit]))
  )
}

/** Judgement: of fewer entries all may be as uneven by chance. */
const FEWEST_SWAPPED = 3
/** The parts of a unit that a person goes round distances by: sixteenths and tenths of an inch, half millimetres and degrees. */
const PARTS = { in: 80, mm: 2, deg: 2 } as const
