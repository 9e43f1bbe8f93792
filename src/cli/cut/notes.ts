import type { Cautions } from '../../jobs/index.js'
import type { CutAnswer, CutChange } from '../../planning/cut/index.js'
import { fromMPerMin, type LengthUnit, speedUnit } from '../../units/index.js'
import { bothChipLoads, bothFeeds, formatRpm } from '../../words/both-systems.js'
import type { StartingValues } from './starting-values.js'

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
const MARKS = 'height of feed marks, r − √(r² − f²/4): common practice, no source'

/** Warnings of a cut, the cautions of every cut, and where every number and formula comes from. */
export function cutNotes(
  answer: CutAnswer,
  values: StartingValues,
  everyCut: Cautions,
  machine: { readonly name: string; readonly unit: LengthUnit },
): CutNotes {
  const warnings = warningsOf(answer, values, machine)
  return {
    warnings,
    cautions: [...warnings, ...everyCut.cautions],
    sources: [
      ...values.sources.map(({ value, source, status }) =>
        source.includes(status) || status === 'own'
          ? `${value}: ${source}`
          : `${value}: ${source} (${status})`,
      ),
      ...FORMULAS,
      ...(answer.plan.chipThinning > 1 ? [CHIP_THINNING] : []),
      ...(answer.results.removalRateMm3PerMin === null ? [] : [REMOVAL]),
      ...(answer.results.power === null ? [] : [POWER]),
      MARKS,
      `cautions: ${everyCut.source}`,
    ],
  }
}

/** One change that would bring the feed into the dial's range, as a sentence. */
export function changeText(change: CutChange, unit: LengthUnit): string {
  const feed = bothFeeds(change.feedMmPerMin, unit)
  if (change.change === 'teeth') {
    return `a cutter with ${change.teeth} ${change.teeth === 1 ? 'tooth' : 'teeth'}: ${feed}`
  }
  if (change.change === 'chip-load') {
    return `the same cutter at the nearest feed of the dial, ${feed}: a chip load of ${bothChipLoads(change.chipLoadMm, unit)}`
  }
  const rim = `${fromMPerMin(change.cuttingSpeedMPerMin, speedUnit(unit)).toFixed(0)} ${speedUnit(unit)} at the rim`
  const faster = change.aboveWantedSpeed ? ', faster than wanted' : ''
  return `the spindle at ${formatRpm(change.rpm)}: ${feed}, ${rim}${faster}`
}

function warningsOf(
  { plan, noDial, chipLoad, results }: CutAnswer,
  { range }: StartingValues,
  machine: { readonly name: string; readonly unit: LengthUnit },
): string[] {
  const { spindle } = plan
  const { unit } = machine
  const warnings: string[] = []
  if (!spindle.fromOwnSpeeds) {
    warnings.push(
      `The spindle speeds of ${machine.name} are not known, so the wanted one is taken as if it could be set; tell them: tablepace machine change "${machine.name}" --spindle 115,190,320`,
    )
  }
  if (spindle.lowestIsAbove) {
    warnings.push(
      `Even the lowest spindle speed, ${formatRpm(spindle.setRpm)}, is above the wanted ${formatRpm(spindle.wantedRpm)}: the rim runs too fast for these values; take a smaller cutter.`,
    )
  }
  if (noDial !== null) warnings.push(`No dial setting: ${noDial.message}`)
  if (range !== null && chipLoad.leavesRange !== 'no' && chipLoad.leavesRange !== 'not-known') {
    const [low, high] = chipLoad.nextSetting95 ?? [chipLoad.chipLoadMm, chipLoad.chipLoadMm]
    const where = {
      below: 'falls below it: the cutter may rub instead of cutting',
      above: 'goes above it: the cutter may be overloaded',
      both: 'leaves it on both sides',
    }[chipLoad.leavesRange]
    const given = low === high ? bothChipLoads(low, unit) : bothChipLoads(low, unit, high)
    warnings.push(
      `The range for this cutter is ${bothChipLoads(range.lowMm, unit, range.highMm)} a tooth; the chip load of ${given} ${where}.`,
    )
  }
  if (results.power?.motorShare != null && results.power.motorShare > 1) {
    warnings.push(
      `This cut asks for about ${Math.round(100 * results.power.motorShare)} % of the motor: take less depth or width.`,
    )
  }
  return warnings
}
