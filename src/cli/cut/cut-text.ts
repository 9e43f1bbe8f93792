import type { CutAnswer, FeedMarks } from '../../planning/cut/index.js'
import type { LoadCorrection } from '../../planning/load/index.js'
import type { FeedTable } from '../../regression/index.js'
import type { LengthUnit } from '../../units/index.js'
import {
  bothChipLoads,
  bothFeeds,
  bothHeights,
  bothLengths,
  bothPowers,
  bothSpeeds,
  bothVolumes,
  formatRpm,
} from '../../words/both-systems.js'
import { loadText } from '../load.js'
import { renderDial } from '../lookup-answers.js'
import { type CutNotes, changeText } from './notes.js'
import type { AskedCut, CutOptions } from './options.js'
import type { StartingValues } from './starting-values.js'

/** The answer to `cut` as one reads it at the machine. */
export function renderCut(
  cut: { readonly asked: AskedCut; readonly options: CutOptions },
  answer: CutAnswer,
  values: StartingValues,
  asked: { readonly table: FeedTable | null; readonly correction: LoadCorrection | null },
  notes: CutNotes,
  unit: LengthUnit,
): string {
  return [
    title(cut.asked, cut.options, values, unit),
    ...planLines(cut.asked, answer, values, unit),
    '',
    ...dialLines(answer, asked.table, unit),
    ...(answer.dial === null ? [] : loadText(asked.correction)),
    ...resultLines(answer, unit),
    ...(notes.warnings.length === 0 ? [] : ['', ...notes.warnings.map((warning) => `Note: ${warning}`)]),
    '',
    'Where the numbers come from',
    ...notes.sources.map((source) => `  ${source}`),
  ].join('\n')
}

function title(asked: AskedCut, options: CutOptions, { material }: StartingValues, unit: LengthUnit): string {
  const of = options.cutterMaterial === undefined ? '' : ` of ${options.cutterMaterial}`
  const work = material === null ? '' : ` in ${material.name}`
  const teeth = asked.teeth === 1 ? '1 tooth' : `${asked.teeth} teeth`
  return `A starting point for a ${bothLengths(asked.diameterMm, unit)} cutter${of}, ${teeth}${work}`
}

function planLines(
  { widthMm, diameterMm }: AskedCut,
  { plan }: CutAnswer,
  values: StartingValues,
  unit: LengthUnit,
): string[] {
  const { spindle, feedMmPerMin } = plan
  const range =
    values.range === null ? '' : `, range ${bothChipLoads(values.range.lowMm, unit, values.range.highMm)}`
  const above = spindle.nextAboveRpm === null ? '' : `; the next above is ${formatRpm(spindle.nextAboveRpm)}`
  return [
    `  cutting speed  ${bothSpeeds(values.cuttingSpeedMPerMin, unit)}`,
    `  chip load      ${bothChipLoads(values.chipLoadMm, unit)} a tooth${range}`,
    `  spindle        wanted ${formatRpm(spindle.wantedRpm)}, set ${formatRpm(spindle.setRpm)}${above}`,
    ...(plan.chipThinning > 1 && widthMm !== null
      ? [
          `  narrow cut     ${Math.round((100 * widthMm) / diameterMm)} % of the cutter thins the chip: feed per tooth × ${plan.chipThinning.toFixed(2)} = ${bothChipLoads(plan.feedPerToothMm, unit)}`,
        ]
      : []),
    `  table feed     ${bothFeeds(feedMmPerMin.atSetRpm, unit)} at ${formatRpm(spindle.setRpm)}; ${bothFeeds(feedMmPerMin.wanted, unit)} at the wanted speed`,
  ]
}

function dialLines(answer: CutAnswer, table: FeedTable | null, unit: LengthUnit): string[] {
  const { dial, noDial, changes, chipLoad, plan } = answer
  if (dial === null || table === null) {
    return [
      `No dial setting: ${noDial?.message ?? ''} ${noDial?.hint ?? ''}`.trimEnd(),
      ...(changes.length === 0 ? [] : ['What could change']),
      ...changes.map((change) => `  ${changeText(change, unit)}`),
    ]
  }
  const band = chipLoad.nextSetting95
  return [
    renderDial(plan.feedMmPerMin.atSetRpm, dial, table),
    band === null
      ? `  chip load then: ${bothChipLoads(chipLoad.chipLoadMm, unit)}`
      : `  chip load next time you set it: ${bothChipLoads(band[0], unit, band[1])} with 95 % probability`,
  ]
}

function resultLines({ results }: CutAnswer, unit: LengthUnit): string[] {
  const { removalRateMm3PerMin, power, feedMarks } = results
  const share =
    power?.motorShare == null
      ? ''
      : `, about ${Math.round(100 * power.motorShare)} % of the motor through belts and gears`
  return [
    ...(removalRateMm3PerMin === null ? [] : [`  removal rate: ${bothVolumes(removalRateMm3PerMin, unit)}`]),
    ...(power === null
      ? []
      : [`  power at the spindle: ${bothPowers(power.lowW, unit, power.highW)}${share}`]),
    ...feedMarks.map((marks) => marksLine(marks, unit)),
  ]
}

function marksLine({ surface, radiusMm, everyTooth, oneTooth }: FeedMarks, unit: LengthUnit): string {
  const opening = `  feed marks on the ${surface}, radius ${bothLengths(radiusMm, unit)}:`
  if (everyTooth === null) return `${opening} further apart than the edge is round`
  const worst = oneTooth === null ? '' : `, ${bothHeights(oneTooth.exactMm, unit)} where one tooth stands out`
  return `${opening} ${bothHeights(everyTooth.exactMm, unit)} high where all teeth cut alike${worst}`
}
