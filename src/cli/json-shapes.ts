import { MEASURED } from '../planning/lookup/free-of-cut.js'
import type {
  CurvePoint,
  FeedEstimate,
  FeedTable,
  IntervalMmPerMin,
  MarkFit,
  RunFeed,
} from '../regression/index.js'
import type { DialSetting, Run, RunJudgement, RunSource } from '../store/index.js'
import {
  directionSign,
  type FeedUnit,
  feedUnit,
  fromMm,
  type LengthUnit,
  labelled,
  N_PER_LBF,
  type Quantity,
} from '../units/index.js'

/** The mean feed of a setting and its 95 % interval, in the machine's unit. */
interface FeedJson extends Quantity<FeedUnit> {
  readonly standardUncertainty: number | null
  readonly interval95: readonly [number, number] | null
}

/** A feed estimate as JSON in the machine's unit. */
export function feedJson(estimate: FeedEstimate, unit: LengthUnit): FeedJson {
  return {
    ...feedQuantity(estimate.feedMmPerMin, unit),
    standardUncertainty:
      estimate.standardUncertaintyMmPerMin === null
        ? null
        : fromMm(estimate.standardUncertaintyMmPerMin, unit),
    interval95: intervalJson(estimate.interval95, unit),
  }
}

/** A feed without its interval, which stands beside it, as JSON in the machine's unit. */
export function feedQuantity(feedMmPerMin: number, unit: LengthUnit): Quantity<FeedUnit> {
  return { value: fromMm(feedMmPerMin, unit), unit: feedUnit(unit) }
}

/** An interval as JSON in the machine's unit. */
export function intervalJson(
  interval: IntervalMmPerMin | null,
  unit: LengthUnit,
): readonly [number, number] | null {
  return interval === null ? null : [fromMm(interval[0], unit), fromMm(interval[1], unit)]
}

/**
 * Digits of a length in JSON: every decimal number of so many comes back as it was entered, which going to mm and back
 * does not do in the last bit (derived: DBL_DIG of C, IEEE 754).
 */
const LENGTH_DIGITS = 15

/** A length as JSON in the machine's unit. @example lengthJson(toMm(6, 'in'), 'in') // { value: 6, unit: 'in' } */
export function lengthJson(valueMm: number, unit: LengthUnit): Quantity<LengthUnit> {
  return { value: Number(fromMm(valueMm, unit).toPrecision(LENGTH_DIGITS)), unit }
}

/** A force in the unit that goes with the machine's, and in the other. */
export function forceJson(forceN: number, unit: LengthUnit): unknown {
  return unit === 'in'
    ? { value: forceN / N_PER_LBF, unit: 'lbf', newtons: forceN }
    : { value: forceN, unit: 'N', poundsForce: forceN / N_PER_LBF }
}

/** A table version as JSON in the machine's unit. */
export function tableJson(table: FeedTable): Record<string, unknown> {
  const { unit } = table
  return labelled(
    {
      machine: table.machine,
      axis: table.axis,
      direction: directionSign(table.direction),
      version: table.version,
      fittedAt: table.fittedAt,
      unit: feedUnit(unit),
      marks: table.marks.map((mark) => markJson(mark, unit)),
      curve: table.curve.map((point) => curvePointJson(point, unit)),
      warnings: table.warnings ?? [],
      ...(table.scatter === undefined ? {} : { scatter: table.scatter }),
      measured: MEASURED,
      runIds: table.runIds,
      method: table.method,
      hash: table.hash,
    },
    table,
  )
}

/** What every lookup says about where its numbers come from. */
export function tableReference(table: FeedTable): { direction: '+' | '-'; version: number; hash: string } {
  return { direction: directionSign(table.direction), version: table.version, hash: table.hash }
}

function markJson(mark: MarkFit, unit: LengthUnit): unknown {
  return {
    dial: mark.dial,
    feed: feedJson(mark, unit),
    nextSetting95: intervalJson(mark.nextSetting95, unit),
    runs: mark.runs,
  }
}

function curvePointJson(point: CurvePoint, unit: LengthUnit): unknown {
  return {
    dial: point.dial,
    feed: feedQuantity(point.feedMmPerMin, unit),
    interval95: intervalJson(point.interval95, unit),
    nextSetting95: intervalJson(point.nextSetting95, unit),
  }
}

/** A run with its setting; `id` is null for one that was judged but not stored. */
export interface ShownRun extends RunJudgement {
  readonly id: string | null
  readonly dial: DialSetting
  readonly source: RunSource
}

/** A run as JSON in the machine's unit. */
export function runJson(run: ShownRun, unit: LengthUnit): Record<string, unknown> {
  return {
    id: run.id,
    dial: run.dial,
    direction: directionSign(run.direction),
    source: run.source,
    accepted: run.rejection === null,
    feed: run.feed === null ? null : runFeedJson(run.feed, unit),
    distance: lengthJson(run.distanceMm, unit),
    durationS: run.durationS,
    clock: run.clock?.kind ?? null,
    samples: run.samples,
    phases: run.phases,
    coast: run.coast === null ? null : coastJson(run.coast, unit),
    warnings: [...rejectionUntold(run), ...run.warnings],
  }
}

/** The reason why a run does not count, where no warning says it. */
function rejectionUntold({ rejection, warnings }: RunJudgement): RunJudgement['warnings'] {
  return rejection === null || warnings.some(({ code }) => code === rejection.code) ? [] : [rejection]
}

/** Travel from the moment the drive let go to rest, and how well the run tells it, in the machine's unit. */
function coastJson(coast: NonNullable<RunJudgement['coast']>, unit: LengthUnit): Record<string, unknown> {
  const { distanceMm, standardUncertaintyMm } = coast
  return {
    distance: lengthJson(distanceMm, unit),
    standardUncertainty: standardUncertaintyMm === null ? null : lengthJson(standardUncertaintyMm, unit),
  }
}

/** A stored run as JSON: what `runJson` says, and what the store knows besides. */
export function storedRunJson(run: Run, unit: LengthUnit): Record<string, unknown> {
  return {
    ...runJson(run, unit),
    recording: run.recordingId,
    dialReset: run.dialReset,
    tags: run.tags,
    note: run.note,
    dropped: run.droppedAt === null ? null : { at: run.droppedAt, reason: run.dropReason },
    createdAt: run.createdAt,
  }
}

function runFeedJson(feed: RunFeed, unit: LengthUnit): unknown {
  return {
    ...feedJson(
      {
        feedMmPerMin: feed.feedMmPerMin,
        standardUncertaintyMmPerMin: feed.standardUncertaintyMmPerMin,
        interval95: feed.interval95MmPerMin,
      },
      unit,
    ),
    degreesOfFreedom: Number.isFinite(feed.degreesOfFreedom) ? feed.degreesOfFreedom : null,
  }
}
