import { DataError, sentence, way } from '../errors/index.js'
import type { CurvePoint, FeedTable, IntervalMmPerMin, MarkFit } from '../regression/index.js'
import { type LengthUnit, NUMBERED, writingOf } from '../units/index.js'
import { mmReading, mmReadings } from './exact-length.js'
import type { ExportedAxis } from './table-document.js'
import { type TableDocument, tableDocumentSchema } from './table-document-schema.js'

/** What a table document tells, in mm and mm/min. */
export interface TablesRead {
  readonly machine: string
  readonly axis: string
  readonly unit: LengthUnit
  /** Undefined in documents of programs that did not write it. */
  readonly axisDetails: ExportedAxis | undefined
  readonly tables: readonly FeedTable[]
}

/**
 * Reads a table document (`calibration/schema/table-document.schema.json`) as `export` wrote it.
 *
 * @param place the file, for messages
 * @param hashOf makes the hash of a table's content; where several numbers of mm read as the same inches, those that
 *   the table's own hash was made from are taken
 * @param as whether the tables are wanted as stored, for the days they were measured on, or as told for any day
 * @throws DataError `not-a-table-document` naming place and what is wrong, `newer-document`
 */
export function readTableDocument(
  text: string,
  place: string,
  hashOf: (table: FeedTable) => string,
  as: 'stored' | 'told' = 'stored',
): TablesRead {
  let json: unknown
  try {
    json = JSON.parse(text)
  } catch {
    throw notADocument(place, 'it is not a file that tablepace exported')
  }
  return tablesOf(parseTableDocument(json, place), hashOf, as)
}

/** A value parsed into a table document. @throws as `readTableDocument` */
export function parseTableDocument(value: unknown, place: string): TableDocument {
  const version = (value as { schema?: { version?: unknown } } | null)?.schema?.version
  if (typeof version === 'number' && version > 1) {
    throw new DataError(
      'newer-document',
      `${place} is a table document of format ${version}; this program reads format 1.`,
      'Bring tablepace up to date, or export it there as csv.',
    )
  }
  const parsed = tableDocumentSchema.safeParse(value)
  if (parsed.success) return possible(parsed.data, place)
  const at = parsed.error.issues[0]?.path ?? []
  // Without our name on it, what else is missing says nothing to who gave another file.
  throw notADocument(
    place,
    at.length === 0 || at[0] === 'schema'
      ? 'it is not a file that tablepace exported'
      : `it was changed or damaged since it was exported, and ${at.join('.')} is not what belongs there`,
  )
}

/**
 * Largest size of a number of a table, as of numbers typed in. Derived: beyond 2^53 a double no longer holds every
 * whole number.
 */
const MOST = 1e16

/** Refuses what has the shape of a table and cannot be one. */
function possible(document: TableDocument, place: string): TableDocument {
  for (const [index, { fittedAt, marks, curve }] of document.tables.entries()) {
    const where = `tables.${index}`
    if (!isMoment(fittedAt))
      throw notADocument(place, `${where}.fittedAt: "${fittedAt.slice(0, 40)}" is not a date`)
    if (marks.length === 0) throw notADocument(place, `${where}.marks: there is no mark`)
    for (const [name, points] of Object.entries({ marks, curve })) {
      const wrong = points.findIndex(
        (one, at) => !isPossible(one) || one.dial <= (points[at - 1]?.dial ?? -MOST),
      )
      if (wrong !== -1)
        throw notADocument(place, `${where}.${name}.${wrong}: no dial and feed can be like that`)
    }
  }
  return document
}

function isPossible({
  dial,
  feed,
  nextSetting95,
  sameDay95,
}: TableDocument['tables'][number]['curve'][number]): boolean {
  const sound = (value: number) => Math.abs(value) < MOST
  const rises = (ends: readonly [number, number] | null) =>
    ends === null || (ends.every(sound) && ends[0] <= ends[1])
  const spread = feed.standardUncertainty ?? 0
  return (
    sound(dial) &&
    feed.value > 0 &&
    sound(feed.value) &&
    spread >= 0 &&
    sound(spread) &&
    rises(feed.interval95) &&
    rises(nextSetting95) &&
    rises(sameDay95 ?? null)
  )
}

/** A moment as the store writes it: ISO 8601, UTC. */
function isMoment(text: string): boolean {
  return /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d+)?)?Z$/.test(text) && Number.isFinite(Date.parse(text))
}

/** The tables of a document in mm/min. */
export function tablesOf(
  document: TableDocument,
  hashOf: (table: FeedTable) => string,
  as: 'stored' | 'told' = 'stored',
): TablesRead {
  const unit = document.unit.feed.replace('/min', '') as LengthUnit
  const { machine, axis, axisDetails } = document
  return {
    machine,
    axis,
    unit,
    axisDetails: axisDetails && {
      travelMm: mmReading(axisDetails.travel, unit),
      dialMin: axisDetails.dial[0],
      dialMax: axisDetails.dial[1],
      marks: axisDetails.dialMarks,
      stepped: axisDetails.stepped,
      dialClicks: axisDetails.dialClicks,
      leadscrewPitchMm:
        axisDetails.leadscrewPitch === null ? null : mmReading(axisDetails.leadscrewPitch, unit),
      ...writingOf(axisDetails),
      ...(axisDetails.range === undefined ? {} : { range: axisDetails.range }),
    },
    tables: document.tables.map((table) => {
      const made = (mm: (value: number) => number): FeedTable => ({
        machine,
        axis,
        unit,
        direction: table.direction === '+' ? 1 : -1,
        version: table.version,
        fittedAt: table.fittedAt,
        stepped: table.stepped,
        ...writingOf(axisDetails ?? NUMBERED),
        marks: table.marks.map((mark): MarkFit => ({ ...point(mark, as, mm), runs: mark.runs })),
        curve: table.curve.map((one) => point(one, as, mm)),
        runIds: table.runIds,
        ...(table.warnings && {
          warnings: table.warnings.map(({ code, message, runIds }) => ({
            code,
            message,
            ...(runIds && { runIds }),
          })),
        }),
        method: table.method,
        ...(table.scatter === undefined ? {} : { scatter: table.scatter }),
        hash: table.hash,
      })
      return withOwnHash(made, unit, table.hash, hashOf)
    }),
  }
}

/**
 * How many numbers whose mm cannot be told from the inches alone are tried both ways. Derived: 2^8 hashes take
 * some tenths of a second.
 */
const MOST_DOUBTFUL = 8

/**
 * The table whose content has the hash. It fails to come out only where a number stands so near the edge of its ninth
 * digit that its last bit decides the rounding; then the other readings of these numbers are tried.
 */
function withOwnHash(
  made: (mm: (value: number) => number) => FeedTable,
  unit: LengthUnit,
  hash: string,
  hashOf: (table: FeedTable) => string,
): FeedTable {
  const doubtful = new Map<number, number[]>()
  const plain = made((value) => {
    const readings = roundedApart(mmReadings(value, unit))
    if (readings.length > 1) doubtful.set(value, readings)
    return mmReading(value, unit)
  })
  if (doubtful.size === 0 || doubtful.size > MOST_DOUBTFUL || hashOf(plain) === hash) return plain
  for (const choice of choices([...doubtful])) {
    const table = made((value) => choice.get(value) ?? mmReading(value, unit))
    if (hashOf(table) === hash) return table
  }
  return plain
}

function roundedApart(readings: readonly number[]): number[] {
  const seen = new Map(readings.map((reading) => [reading.toPrecision(9), reading]))
  return [...seen.values()]
}

function choices(doubtful: readonly (readonly [number, readonly number[]])[]): Map<number, number>[] {
  return doubtful.reduce<Map<number, number>[]>(
    (made, [value, readings]) =>
      made.flatMap((choice) => readings.map((reading) => new Map(choice).set(value, reading))),
    [new Map()],
  )
}

type DocumentPoint = TableDocument['tables'][number]['curve'][number]

function point(
  { dial, feed, nextSetting95, sameDay95 }: DocumentPoint,
  as: 'stored' | 'told',
  mm: (value: number) => number,
): CurvePoint {
  const ends = (interval: readonly [number, number] | null): IntervalMmPerMin | null =>
    interval && [mm(interval[0]), mm(interval[1])]
  return {
    dial,
    feedMmPerMin: mm(feed.value),
    standardUncertaintyMmPerMin: feed.standardUncertainty === null ? null : mm(feed.standardUncertainty),
    interval95: ends(feed.interval95),
    nextSetting95: ends(as === 'told' ? nextSetting95 : (sameDay95 ?? nextSetting95)),
  }
}

function notADocument(place: string, what: string): DataError {
  return new DataError(
    'not-a-table-document',
    `${place} cannot be brought in: ${what}.`,
    sentence`Give a file that tablepace exported${way('export', { format: 'json' })}, a data package, or the store of another tablepace. A recording or a stopwatch sheet is read in as runs${way('read-runs')}.`,
  )
}
