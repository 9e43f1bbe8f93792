import type { Cautions, ValueSource, WorkedOutCut } from '../../jobs/index.js'
import {
  CUTTER_GEOMETRY,
  type CutAnswer,
  type CutChange,
  type CutterKind,
  type OtherFigure,
} from '../../planning/cut/index.js'
import type { CutNote } from '../../store/index.js'
import { directionSign, fromMm, fromMPerMin, type MachineUnit, speedUnit } from '../../units/index.js'
import { bothChipLoads, bothFeeds, bothHeights, bothLengths, formatRpm } from '../both-systems.js'
import { cutLimitText } from './cut-limit.js'

/** What goes with the numbers of a cut. */
export interface CutNotes {
  /** About this cut, one sentence each. */
  readonly warnings: readonly string[]
  /** About every cut, and the warnings of this one before them. */
  readonly cautions: readonly string[]
  readonly sources: readonly string[]
}

const FORMULAS: readonly string[] = [
  'spindle speed = cutting speed / (π × diameter): common practice, no source',
  "table feed = rpm × teeth × feed per tooth: Mechanical Engineer's Data Handbook, p. 187",
]
const CHIP_THINNING =
  'chip thinning, h = 2 f √(r(1 − r)): Fundamentals of Machining Processes, 2nd ed., p. 174'
const REMOVAL = 'removal rate = depth × width × feed: common practice, no source'
const POWER =
  "power at the spindle = specific energy × removal rate: Mechanical Engineer's Data Handbook, p. 192; 75 % of the motor's power taken to reach the spindle: common practice, no source"
const FEED_FORCE: Readonly<Record<'mill' | 'drill' | 'lathe', string>> = {
  mill: 'force along the feed = force at the rim, as where a mill cuts against the feed: geometry of a circle; 0.3 of it in face milling by R. Davis, Milling Forces and Formulas, Modern Machine Shop',
  drill:
    'force along the feed = 0.7 × specific energy × radius × feed a turn: "Common Drilling Formulas", scribd document 262196644',
  lathe:
    'force along the feed = half the force at the rim, a rule of thumb: E. Isakov, Calculated Forces When Turning, Cutting Tool Engineering, February 2013',
}
const BENDING =
  'bending of the cutter as a cantilever: Q. Wu and others, Applied Mechanics and Materials 163 (2012) 95-99; stiffness of its material from memory'
const PROPOSED =
  'depth and width that were not given: "Machine Tool Speeds and Feeds", docslib.org document 5103932, and common practice'
const MARKS = 'height of feed marks, r − √(r² − f²/4): common practice, no source'

/** Warnings of a cut, the cautions of every cut, and where every number and formula comes from. */
export function cutNotes(
  cut: WorkedOutCut,
  everyCut: Cautions,
  machine: { readonly name: string; readonly unit: MachineUnit },
): CutNotes {
  const { answer, values, wanted } = cut
  const warnings = warningsOf(cut, machine)
  const { results, engagement, plan } = answer
  return {
    warnings,
    cautions: [...warnings, ...everyCut.cautions],
    sources: [
      ...values.sources.map((one) => sourceText(one, machine.unit)),
      ...FORMULAS,
      ...(plan.chipThinning > 1 ? [CHIP_THINNING] : []),
      ...(results.removalRateMm3PerMin === null ? [] : [REMOVAL]),
      ...(results.power === null ? [] : [POWER]),
      ...(results.feedForceN === null ? [] : [FEED_FORCE[feedForceKind(wanted.kind)]]),
      ...(results.deflection === null ? [] : [BENDING]),
      ...(engagement.depthProposed || engagement.widthProposed ? [PROPOSED] : []),
      ...(results.feedMarks.length === 0 ? [] : [MARKS]),
      `cautions: ${everyCut.source}`,
    ],
  }
}

function feedForceKind(kind: CutterKind): 'mill' | 'drill' | 'lathe' {
  return kind === 'drill' ? 'drill' : kind === 'turning' || kind === 'boring' ? 'lathe' : 'mill'
}

/** What a chip load is told for: a tooth of a mill, a turn of everything else. */
export function chipLoadEach(kind: CutterKind): string {
  return CUTTER_GEOMETRY[kind].perRevolution ? 'a turn' : 'a tooth'
}

/** One change that would bring the feed into the dial's range, as a sentence. */
export function cutChangeText(change: CutChange, unit: MachineUnit): string {
  const feed = bothFeeds(change.feedMmPerMin, unit)
  if (change.change === 'teeth') {
    return `a cutter with ${change.teeth} ${change.teeth === 1 ? 'tooth' : 'teeth'}: ${feed}`
  }
  if (change.change === 'chip-load') {
    return `the same cutter at the nearest feed of the dial, ${feed}: a chip load of ${bothChipLoads(change.chipLoadMm, unit)}`
  }
  const rim = `${fromMPerMin(change.cuttingSpeedMPerMin, speedUnit(unit)).toFixed(0)} ${speedUnit(unit)} at the rim`
  const faster = change.aboveWantedSpeed ? ', a little faster than wanted' : ''
  return `the spindle at ${formatRpm(change.rpm)}: ${feed}, ${rim}${faster}`
}

/** Why there is no dial setting, with a way out; null where there is one. */
export function noDialWords(
  { noDial, limits, changes }: CutAnswer,
  unit: MachineUnit,
): { readonly code: string; readonly message: string; readonly hint: string } | null {
  if (noDial === null) return null
  const { code } = noDial
  if (code === 'no-table') {
    return {
      code,
      message: 'There is no table for this axis and direction yet, so the dial setting is not known.',
      hint: 'Calibrate this axis first.',
    }
  }
  if (code === 'beyond-limits') {
    const stopping = limits.filter((one) => one.stops).map((one) => cutLimitText(one, unit))
    return {
      code,
      message: stopping[0]?.message ?? 'The cut goes beyond a limit.',
      hint: stopping.map((one) => one.change).join(' '),
    }
  }
  const hint =
    changes.length > 0
      ? 'See what could change.'
      : 'Take another cutter or another range of the feed, or measure marks beyond the range.'
  return { code, message: noDial.message, hint }
}

function sourceText({ value, source, status, others }: ValueSource, unit: MachineUnit): string {
  const own = source.includes(status) || status === 'own' ? source : `${source} (${status})`
  const beside = others.map((other) => `${figure(value, other, unit)} by ${other.source}`)
  return `${value}: ${own}${beside.length === 0 ? '' : `; others print ${beside.join(', ')}`}`
}

function figure(value: ValueSource['value'], { low, high }: OtherFigure, unit: MachineUnit): string {
  const [from, to, name] =
    value === 'cutting speed'
      ? [low, high].map((one) => fromMPerMin(one, speedUnit(unit)).toFixed(0)).concat(speedUnit(unit))
      : [low, high].map((one) => fromMm(one, unit).toFixed(unit === 'in' ? 4 : 3)).concat(unit)
  return from === to ? `${from} ${name}` : `${from} to ${to} ${name}`
}

function warningsOf(
  { wanted, answer, values, notes, measuredDrop, ...cut }: WorkedOutCut,
  { name, unit }: { readonly name: string; readonly unit: MachineUnit },
): string[] {
  const { plan, noDial, chipLoad, limits } = answer
  return [
    ...limits.map((limit) => {
      const { message, change } = cutLimitText(limit, unit)
      return `${limit.stops ? 'No dial setting: ' : ''}${message} ${change}`
    }),
    ...(plan.spindle.fromOwnSpeeds
      ? []
      : [
          `The spindle speeds of ${name} are not entered, so the answer is for the wanted speed. Enter them to get a speed that the machine has.`,
        ]),
    ...(noDial === null || noDial.code === 'beyond-limits'
      ? []
      : [`No dial setting: ${noDialWords(answer, unit)?.message ?? ''}`]),
    ...chipWarning(chipLoad, values.range, { unit, each: chipLoadEach(wanted.kind) }),
    ...notes
      .filter((note) => note.outcome !== 'good')
      .slice(0, MOST_NOTES)
      .map((note) => `You noted about a cut like this: ${cutNoteText(note, unit)}.`),
    ...(measuredDrop === null
      ? []
      : [
          `Runs while cutting showed the feed at ${percent(measuredDrop.logFactor)} against running free. This answer is for running free, so the chip may be thinner by that much.`,
        ]),
    ...conventionalWarning(cut),
  ]
}

/** Which way is against the cut, and whether the direction asked for is the other. */
function conventionalWarning({
  asked,
  conventional,
  conventionalDirection,
}: Pick<WorkedOutCut, 'asked' | 'conventional' | 'conventionalDirection'>): string[] {
  if (conventional === null) return []
  const sign = conventionalDirection === null ? '' : ` (${directionSign(conventionalDirection)})`
  const climbs =
    conventionalDirection !== null && asked.direction !== null && asked.direction !== conventionalDirection
  return [
    `To feed against the cut (conventional milling) the table moves ${conventional}${sign}; the other way is climb milling, which can pull the table where the screw has play.${climbs ? ' The direction that you asked for is climb milling.' : ''}`,
  ]
}

/** Notes that are told at most. Judgement: more are not read. */
const MOST_NOTES = 3

const OUTCOMES: Readonly<Record<CutNote['outcome'], string>> = {
  good: 'a good cut',
  chatter: 'chatter',
  rough: 'a rough surface',
  rubbed: 'the cutter rubbed',
  slowed: 'the motor slowed down',
  broke: 'the cutter broke',
}

/** What happened at a cut, with its date. */
export function cutNoteText(note: CutNote, unit: MachineUnit): string {
  const { at, outcome, rpm, feedMmPerMin, finishUm, diameterMm, kind, material } = note
  const finish = finishUm === null ? '' : `, ${bothHeights(finishUm / 1000, unit)} Ra`
  const text = note.note === '' ? '' : ` (${note.note})`
  return `${at.slice(0, 10)}, ${OUTCOMES[outcome]} at ${formatRpm(rpm)} and ${bothFeeds(feedMmPerMin, unit)}${finish}, ${kind} of ${bothLengths(diameterMm, unit)} in ${material}${text}`
}

function percent(logFactor: number): string {
  const value = 100 * Math.expm1(logFactor)
  return `${value > 0 ? '+' : ''}${value.toFixed(1)} %`
}

function chipWarning(
  chipLoad: CutAnswer['chipLoad'],
  range: WorkedOutCut['values']['range'],
  { unit, each }: { readonly unit: MachineUnit; readonly each: string },
): string[] {
  if (range === null || chipLoad.leavesRange === 'no' || chipLoad.leavesRange === 'not-known') return []
  const [low, high] = chipLoad.nextSetting95 ?? [chipLoad.chipLoadMm, chipLoad.chipLoadMm]
  const where = {
    below: 'falls below it: the cutter may rub instead of cutting',
    above: 'goes above it: the cutter may be overloaded',
    both: 'goes beyond it on both sides',
  }[chipLoad.leavesRange]
  const given = low === high ? bothChipLoads(low, unit) : bothChipLoads(low, unit, high)
  return [
    `The range for this cutter is ${bothChipLoads(range.lowMm, unit, range.highMm)} ${each}; the chip load of ${given} ${where}.`,
  ]
}
