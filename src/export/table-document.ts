import { sentence, UsageError, way } from '../errors/index.js'
import { measuredRange, standingWarnings } from '../planning/index.js'
import { MEASURED } from '../planning/lookup/free-of-cut.js'
import type { CurvePoint, FeedTable, IntervalMmPerMin, MarkFit } from '../regression/index.js'
import {
  type DialRange,
  type DialWriting,
  directionSign,
  feedUnit,
  fromMm,
  type LengthUnit,
  writeDial,
} from '../units/index.js'
import { type TableDocument, ucumOf } from './table-document-schema.js'

type DocumentTable = TableDocument['tables'][number]
type DocumentPoint = DocumentTable['curve'][number]

/** What is told of the axis beside its tables. */
export interface ExportedAxis extends DialWriting {
  readonly travelMm: number
  readonly dialMin: number
  readonly dialMax: number
  readonly marks: readonly number[]
  readonly stepped: boolean
  readonly dialClicks: boolean
  readonly leadscrewPitchMm: number | null
  /** Where it is one range of a dial that has several. */
  readonly range?: DialRange
}

/**
 * Tables of one axis as a JSON document after `calibration/schema/table-document.schema.json`, in the machine's unit.
 *
 * @throws UsageError `several-axes` for tables of more than one axis, `no-table` for none
 */
export function tablesToJson(tables: readonly FeedTable[], axis?: ExportedAxis): string {
  return `${JSON.stringify(tableDocument(tables, axis), null, 2)}\n`
}

/** The document itself. @throws as `tablesToJson` */
export function tableDocument(tables: readonly FeedTable[], axisDetails?: ExportedAxis): TableDocument {
  const [first] = tables
  if (first === undefined) {
    throw new UsageError('no-table', 'There is no table to export.', sentence`Make one${way('fit')}.`)
  }
  const { machine, axis, unit } = first
  if (tables.some((table) => table.machine !== machine || table.axis !== axis || table.unit !== unit)) {
    throw new UsageError(
      'several-axes',
      'Tables of several axes do not go into one document.',
      sentence`Name one axis${way('axis')} and export one at a time.`,
    )
  }
  return {
    schema: { id: 'urn:tablepace:table-document', version: 1 },
    machine,
    axis,
    unit: { feed: feedUnit(unit), ucum: ucumOf(feedUnit(unit)) },
    interpolation: 'linear',
    ...(axisDetails === undefined ? {} : { axisDetails: documentAxis(axisDetails, unit) }),
    tables: tables.map(documentTable),
  }
}

function documentAxis(axis: ExportedAxis, unit: LengthUnit): NonNullable<TableDocument['axisDetails']> {
  return {
    travel: fromMm(axis.travelMm, unit),
    dial: [axis.dialMin, axis.dialMax],
    dialMarks: [...axis.marks],
    stepped: axis.stepped,
    dialClicks: axis.dialClicks,
    leadscrewPitch: axis.leadscrewPitchMm === null ? null : fromMm(axis.leadscrewPitchMm, unit),
    lengthUnit: unit,
    ...(axis.lettered ? { lettered: true } : {}),
    ...(axis.range === undefined ? {} : { range: { of: axis.range.of, name: axis.range.name } }),
  }
}

function documentTable(table: FeedTable): DocumentTable {
  const { unit } = table
  const range = measuredRange(table)
  const standing = standingWarnings(table).map(({ runIds, ...warning }) => ({
    ...warning,
    ...(runIds === undefined ? {} : { runIds: [...runIds] }),
  }))
  return {
    direction: directionSign(table.direction),
    version: table.version,
    fittedAt: table.fittedAt,
    method: { name: table.method.name, version: table.method.version },
    hash: table.hash,
    measured: MEASURED,
    stepped: table.stepped,
    measuredRange: { dial: [...range.dial], feed: intervalIn(range.feedMmPerMin, unit) },
    marks: table.marks.map((mark, i) => ({
      ...documentPoint(mark, table.asMeasured?.marks[i], unit),
      runs: mark.runs,
      ...(table.lettered ? { label: writeDial(mark.dial, table) } : {}),
    })),
    curve: table.curve.map((point, i) => documentPoint(point, table.asMeasured?.curve[i], unit)),
    runIds: [...table.runIds],
    ...(table.scatter === undefined ? {} : { scatter: table.scatter }),
    ...(standing.length === 0 ? {} : { warnings: standing }),
  }
}

function documentPoint(
  point: CurvePoint | MarkFit,
  asMeasured: CurvePoint | MarkFit | undefined,
  unit: LengthUnit,
): DocumentPoint {
  const { dial, feedMmPerMin, standardUncertaintyMmPerMin: uncertainty, interval95, nextSetting95 } = point
  return {
    dial,
    feed: {
      value: fromMm(feedMmPerMin, unit),
      standardUncertainty: uncertainty === null ? null : fromMm(uncertainty, unit),
      interval95: interval95 === null ? null : intervalIn(interval95, unit),
    },
    nextSetting95: nextSetting95 === null ? null : intervalIn(nextSetting95, unit),
    ...(asMeasured?.nextSetting95 ? { sameDay95: intervalIn(asMeasured.nextSetting95, unit) } : {}),
  }
}

function intervalIn(interval: IntervalMmPerMin, unit: LengthUnit): [number, number] {
  return [fromMm(interval[0], unit), fromMm(interval[1], unit)]
}
