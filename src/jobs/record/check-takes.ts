import {
  type AxisLimits,
  agrees,
  beyondEnteredTravel,
  type CheckedRun,
  type Contradiction,
  checkRun,
  contradicts,
  longByHand,
  type Reading,
  type Reference,
  type RunCheck,
  uncheckedUnit,
} from '../../planning/mix-ups/index.js'
import type { Axis, DialSetting, RunJudgement, StopwatchRecord } from '../../store/index.js'
import { type ReadoutSettings, readingOf } from '../readout/readout-settings.js'
import { type JudgedTraverse, judgeStopwatch } from './judge-takes.js'
import {
  byEarlierRun,
  byRunBeside,
  byTable,
  GEARING_TAG,
  type KnownAxis,
  unitIsShown,
} from './known-feeds.js'
import type { PressTiming } from './person-timing.js'
import { saidInDegrees } from './said-in-degrees.js'

/** A take whose runs are judged and not yet held against the machine. */
export interface UncheckedTake {
  readonly dial: DialSetting
  readonly reading: Reading
  /** Whether the smallest step of the positions is that of the readout. */
  readonly stepTells: boolean
  readonly tags: Readonly<Record<string, string>>
  readonly runs: readonly JudgedTraverse[]
}

/** How the numbers of a readout were read; the step of cells of a spreadsheet, which drop zeros, tells nothing. */
export function howRead(
  settings: ReadoutSettings,
  unitInLines: boolean,
): Pick<UncheckedTake, 'reading' | 'stepTells'> {
  return { reading: readingOf(settings, unitInLines), stepTells: !settings.fromSpreadsheet }
}

/** What no run of an axis can exceed. */
export function limitsOf({ name, travelMm, unit, lettered }: Axis): AxisLimits {
  return { name, travelMm, unit, lettered }
}

/** A stopwatch entry, judged and not yet held against the machine. */
export function uncheckedEntry(
  axis: Axis,
  take: {
    readonly dial: DialSetting
    readonly entry: StopwatchRecord
    readonly tags: UncheckedTake['tags']
    readonly timing?: PressTiming | null | undefined
  },
): UncheckedTake {
  return {
    dial: take.dial,
    reading: { source: 'stopwatch', unit: axis.unit, countLengthMm: null, basis: 'said' },
    stepTells: false,
    tags: take.tags,
    runs: [judgeStopwatch(take.entry, take.timing, axis)],
  }
}

const NOTHING_TOLD: RunCheck = { contradiction: null, agrees: false, agreesInUnit: false, unitShown: false }

interface Candidate {
  readonly take: UncheckedTake
  readonly judgement: JudgedTraverse
  readonly run: CheckedRun
  /** Its own verdict, before what others of the call say. */
  alone: RunCheck
}

/**
 * Rows of a sheet from which on the whole of it may be in doubt, where at least half goes beyond the travel.
 * Judgement: of two, one misread figure is half.
 */
const FEWEST_OF_A_SHEET = 3

/**
 * Holds the accepted runs of one call against their machine, what is known of it, and each other. A run that contradicts
 * them is not accepted any more, with the reason; one whose unit nothing shows is warned of.
 *
 * @returns the judgements of every take, in the same order
 */
export function checkTakes(
  limits: AxisLimits,
  known: KnownAxis,
  takes: readonly UncheckedTake[],
): RunJudgement[][] {
  const candidates = takes.flatMap((take) => take.runs.flatMap((judged) => candidateOf(take, judged) ?? []))
  for (const one of candidates) one.alone = checkRun(one.run, limits, null)
  const sound = candidates.filter((one) => one.alone.contradiction === null)
  for (const one of sound) one.alone = checkRun(one.run, limits, referenceFor(one, sound, known))
  const unitKnown = unitIsShown(known)
  const verdicts = new Map<JudgedTraverse, RunJudgement>()
  for (const one of candidates) {
    const contradiction = one.alone.contradiction ?? sharedContradiction(one, candidates)
    const { judgement, run } = one
    if (contradiction !== null) {
      verdicts.set(judgement, refused(withoutTold(judgement), contradiction))
      continue
    }
    const isUnitShown =
      unitKnown || candidates.some((other) => other.alone.unitShown && readAlike(one, other))
    const warnings = [
      isUnitShown ? null : uncheckedUnit(run),
      one.alone.agreesInUnit ? null : longByHand(run),
      beyondEnteredTravel(run.distanceMm, limits),
    ].filter((warning) => warning !== null)
    if (warnings.length > 0) verdicts.set(judgement, warned(withoutTold(judgement), warnings))
  }
  const inUnit = limits.unit === 'deg' ? saidInDegrees : (judgement: RunJudgement) => judgement
  return takes.map((take) => take.runs.map((judged) => inUnit(verdicts.get(judged) ?? withoutTold(judged))))
}

function candidateOf(take: UncheckedTake, judgement: JudgedTraverse): Candidate | null {
  const { rejection, feed, distanceMm, durationS, told } = judgement
  if (rejection !== null || feed === null) return null
  const run: CheckedRun = {
    dial: take.dial,
    feedMmPerMin: feed.feedMmPerMin,
    distanceMm,
    durationS,
    lineIntervalS: told?.lineIntervalS ?? null,
    positionStepMm: take.stepTells ? (told?.positionStepMm ?? null) : null,
    ripple: told?.ripple ?? null,
    reading: take.reading,
  }
  return { take, judgement, run, alone: NOTHING_TOLD }
}

/** What the run's setting is known to feed: by the table, else by earlier runs, else by the others of the call. */
function referenceFor(one: Candidate, sound: readonly Candidate[], known: KnownAxis): Reference | null {
  const { dial, reading } = one.run
  const gearing = one.take.tags[GEARING_TAG]
  const table = gearing === undefined ? byTable(known.tables, dial, one.judgement.direction) : null
  if (table !== null) return table
  const sameGearing = (tags: Readonly<Record<string, string>>) =>
    gearing === undefined || tags[GEARING_TAG] === gearing
  const earlier = known.runs.filter((run) => run.dial === dial && sameGearing(run.tags)).flatMap(byEarlierRun)
  if (earlier.length > 0) return decisive(one, earlier)
  const others = sound.filter(
    (other) => other !== one && other.run.dial === dial && sameGearing(other.take.tags),
  )
  const [only, ...more] = others
  if (only === undefined) return null
  const references = others.map((other) => byRunBeside(other.run.feedMmPerMin))
  if (more.length > 0 || !contradicts(one.run.feedMmPerMin, references[0]!, reading))
    return decisive(one, references)
  return isOddOne(one, only, sound) ? references[0]! : null
}

/** One that the run contradicts where it contradicts more than half of them, else one that it agrees with. */
function decisive({ run }: Candidate, references: readonly Reference[]): Reference | null {
  const against = references.filter((one) => contradicts(run.feedMmPerMin, one, run.reading))
  if (2 * against.length > references.length) return against[0]!
  return references.find((one) => agrees(run.feedMmPerMin, one)) ?? null
}

/** Which of two runs at one dial is the wrong one: that which breaks the order of the other dials more, else the later one. */
function isOddOne(one: Candidate, other: Candidate, sound: readonly Candidate[]): boolean {
  const breaks = (each: Candidate) => breaksOrder(each, sound)
  if (breaks(one) !== breaks(other)) return breaks(one) > breaks(other)
  return sound.indexOf(one) > sound.indexOf(other)
}

/** How many runs at other dials this one is out of order with; a dial may fall as its numbers rise. */
function breaksOrder({ run }: Candidate, sound: readonly Candidate[]): number {
  const orders = sound.flatMap(({ run: other }) => {
    if (run.dial === 'rapid' || other.dial === 'rapid' || other.dial === run.dial) return []
    return [other.dial > run.dial === other.feedMmPerMin > run.feedMmPerMin]
  })
  const rising = orders.filter((rises) => rises).length
  return Math.min(rising, orders.length - rising)
}

/**
 * What another run of the call, read in the same way, says against this one. Runs that agree with each other may be
 * wrong alike; they speak only against another that does not agree with its own setting.
 */
function sharedContradiction(one: Candidate, candidates: readonly Candidate[]): Contradiction | null {
  if (one.alone.agreesInUnit) return null
  const alike = candidates.filter((other) => readAlike(one, other))
  if (one.run.reading.source === 'stopwatch') return doubtfulSheet(alike)
  const against = alike.find(
    ({ alone: { contradiction } }) =>
      contradiction?.ofReadout === true && !(one.alone.agrees && contradiction.code === 'unit-mismatch'),
  )?.alone.contradiction
  return against == null
    ? null
    : shared('Another traverse of the same readout cannot be right as read', against)
}

function doubtfulSheet(rows: readonly Candidate[]): Contradiction | null {
  const beyond = rows.flatMap(({ alone }) =>
    alone.contradiction?.code === 'beyond-travel' ? alone.contradiction : [],
  )
  const [first] = beyond
  if (first === undefined || rows.length < FEWEST_OF_A_SHEET || 2 * beyond.length < rows.length) return null
  return shared('Most distances on this sheet are longer than the travel', first)
}

function shared(why: string, { message }: Contradiction): Contradiction {
  return { code: 'unit-mismatch', message: `${why}: ${message}`, ofReadout: false }
}

function readAlike({ run: { reading: a } }: Candidate, { run: { reading: b } }: Candidate): boolean {
  return (
    a.source === b.source && a.unit === b.unit && a.countLengthMm === b.countLengthMm && a.basis === b.basis
  )
}

function refused(judgement: RunJudgement, { code, message }: Contradiction): RunJudgement {
  return { ...judgement, rejection: { code, message }, feed: null, coast: null }
}

function warned(judgement: RunJudgement, warnings: RunJudgement['warnings']): RunJudgement {
  return { ...judgement, warnings: [...judgement.warnings, ...warnings] }
}

function withoutTold({ told: _, ...judgement }: JudgedTraverse): RunJudgement {
  return judgement
}
