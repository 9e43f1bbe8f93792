import type { WorkedOutCut } from '../../jobs/index.js'
import { CUTTER_GEOMETRY, type FeedMarks } from '../../planning/cut/index.js'
import { dialForFeed } from '../../planning/index.js'
import type { MachineUnit } from '../../units/index.js'
import {
  bothChipLoads,
  bothFeeds,
  bothForces,
  bothHeights,
  bothLengths,
  bothPowers,
  bothSpeeds,
  bothVolumes,
  formatRpm,
} from '../../words/both-systems.js'
import { type CutNotes, chipLoadEach, cutChangeText, cutLimitText, noDialWords } from '../../words/index.js'
import { loadText } from '../load.js'
import { onEachDay, shown } from '../lookup/day-answers.js'
import { renderDial } from '../lookup/lookup-answers.js'

/** The answer to `cut` as one reads it at the machine. */
export function renderCut(cut: WorkedOutCut, notes: CutNotes, unit: MachineUnit): string {
  return [
    title(cut, unit),
    ...planLines(cut, unit),
    ...engagementLines(cut, unit),
    '',
    ...dialLines(cut, unit),
    ...(cut.answer.dial === null ? [] : loadText(cut.correction)),
    ...resultLines(cut, unit),
    ...noteLines(cut, notes, unit),
    '',
    'Where the numbers come from',
    ...notes.sources.map((source) => `  ${source}`),
  ].join('\n')
}

/** The warnings, without those that said why there is no dial setting: they stand above. */
function noteLines({ answer }: WorkedOutCut, { warnings }: CutNotes, unit: MachineUnit): string[] {
  const stopping = answer.limits.filter((limit) => limit.stops)
  const said = [
    ...stopping.map((limit) => cutLimitText(limit, unit).message),
    noDialWords(answer, unit)?.message ?? [],
  ].flat()
  const rest = warnings.filter((warning) => !said.some((message) => warning.includes(message)))
  return rest.length === 0 ? [] : ['', ...rest.map((warning) => `Note: ${warning}`)]
}

function title({ wanted, values }: WorkedOutCut, unit: MachineUnit): string {
  const { kind, pass, diameterMm, cutterMaterial } = wanted
  const of = cutterMaterial === null ? '' : ` of ${cutterMaterial}`
  const work = values.material === null ? '' : ` in ${values.material.name}`
  const teeth = wanted.teeth === 1 ? '1 tooth' : `${wanted.teeth} teeth`
  const counted = CUTTER_GEOMETRY[kind].perRevolution ? '' : `, ${teeth}`
  const finishing = pass === 'finishing' ? ', finishing' : ''
  const size = bothLengths(diameterMm, unit)
  const what =
    kind === 'end mill'
      ? `a ${size} cutter`
      : kind === 'turning'
        ? `turning ${size}`
        : kind === 'boring'
          ? `boring ${size}`
          : `a ${size} ${kind}`
  return `A starting point for ${what}${of}${counted}${work}${finishing}`
}

function planLines({ wanted, values, answer }: WorkedOutCut, unit: MachineUnit): string[] {
  const { plan } = answer
  const { spindle, feedMmPerMin } = plan
  const range =
    values.range === null ? '' : `, range ${bothChipLoads(values.range.lowMm, unit, values.range.highMm)}`
  const above = spindle.nextAboveRpm === null ? '' : `; the next above is ${formatRpm(spindle.nextAboveRpm)}`
  const set = spindle.setRpm === null ? 'none can be set' : `set ${formatRpm(spindle.setRpm)}${above}`
  const wantedFeed = `${bothFeeds(feedMmPerMin.wanted, unit)} at the wanted speed`
  const feed =
    feedMmPerMin.atSetRpm === null || spindle.setRpm === null
      ? wantedFeed
      : `${bothFeeds(feedMmPerMin.atSetRpm, unit)} at ${formatRpm(spindle.setRpm)}; ${wantedFeed}`
  return [
    `  cutting speed  ${bothSpeeds(values.cuttingSpeedMPerMin, unit)}`,
    `  chip load      ${bothChipLoads(values.chipLoadMm, unit)} ${chipLoadEach(wanted.kind)}${range}`,
    `  spindle        wanted ${formatRpm(spindle.wantedRpm)}, ${set}`,
    ...(plan.chipThinning > 1 && wanted.widthMm !== null
      ? [
          `  narrow cut     ${percent(wanted.widthMm / wanted.diameterMm)} % of the cutter thins the chip: feed per tooth × ${plan.chipThinning.toFixed(2)} = ${bothChipLoads(plan.feedPerToothMm, unit)}`,
        ]
      : []),
    `  table feed     ${feed}`,
  ]
}

/** A share in percent; below one percent with a digit that says something. */
function percent(share: number): string {
  return share < 0.01 ? String(Number((100 * share).toPrecision(1))) : (100 * share).toFixed(0)
}

function engagementLines({ answer }: WorkedOutCut, unit: MachineUnit): string[] {
  const { widthMm, depthMm, widthProposed, depthProposed } = answer.engagement
  const said = (name: string, valueMm: number | null, proposed: boolean) =>
    valueMm === null ? [] : [`${bothLengths(valueMm, unit)} ${name}${proposed ? ' (proposed)' : ''}`]
  const sizes = [...said('wide', widthMm, widthProposed), ...said('deep', depthMm, depthProposed)]
  return sizes.length === 0 ? [] : [`  cut            ${sizes.join(', ')}`]
}

function dialLines({ wanted, answer, table, days }: WorkedOutCut, unit: MachineUnit): string[] {
  const { dial, changes, chipLoad, plan } = answer
  const feed = plan.feedMmPerMin.atSetRpm
  if (dial === null || table === null || days === null || feed === null) {
    return [
      ...noDialLines(answer, unit),
      ...(changes.length === 0 ? [] : ['What you could change']),
      ...changes.map((change) => `  ${cutChangeText(change, unit)}`),
    ]
  }
  const {
    answer: told,
    asked,
    day,
  } = shown(
    onEachDay(days, (one) => dialForFeed(one, feed)),
    unit,
  )
  const band = chipLoad.nextSetting95
  const standsOut =
    wanted.teeth === 1
      ? ''
      : `; the tooth that stands out most up to ${bothChipLoads(chipLoad.worstToothMm, unit)}`
  return [
    renderDial(feed, told, asked, day),
    band === null
      ? `  chip load then: ${bothChipLoads(chipLoad.chipLoadMm, unit)}`
      : `  chip load next time you set it: ${bothChipLoads(band[0], unit, band[1])} with 95 % probability${standsOut}`,
  ]
}

/** Bending below this shows as nothing, mm: half of the last digit, 0.0001 in. */
const LEAST_SHOWN_MM = 0.00127

function noDialLines(answer: WorkedOutCut['answer'], unit: MachineUnit): string[] {
  const stopping = answer.limits.filter((limit) => limit.stops).map((limit) => cutLimitText(limit, unit))
  if (stopping.length > 1) {
    return ['No dial setting', ...stopping.map(({ message, change }) => `  - ${message} ${change}`)]
  }
  const why = noDialWords(answer, unit)
  return [`No dial setting: ${why?.message ?? ''} ${why?.hint ?? ''}`.trimEnd()]
}

function resultLines({ answer }: WorkedOutCut, unit: MachineUnit): string[] {
  const { removalRateMm3PerMin, power, forceN, feedForceN, deflection, feedMarks } = answer.results
  const share =
    power?.motorShare == null
      ? ''
      : `, about ${Math.round(100 * power.motorShare)} % of the motor through belts and gears`
  const bends =
    deflection === null || deflection.tipMm < LEAST_SHOWN_MM
      ? ''
      : `; bends the tip of the cutter by ${bothLengths(deflection.tipMm, unit, 4)}`
  return [
    ...(removalRateMm3PerMin === null ? [] : [`  removal rate: ${bothVolumes(removalRateMm3PerMin, unit)}`]),
    ...(power === null
      ? []
      : [`  power at the spindle: ${bothPowers(power.lowW, unit, power.highW)}${share}`]),
    ...(forceN === null ? [] : [`  force on the cutter: about ${bothForces(forceN, unit)}${bends}`]),
    ...(feedForceN === null ? [] : [`  force along the feed: about ${bothForces(feedForceN, unit)}`]),
    ...feedMarks.map((marks) => marksLine(marks, unit)),
  ]
}

function marksLine({ surface, radiusMm, everyTooth, oneTooth }: FeedMarks, unit: MachineUnit): string {
  const opening = `  feed marks on the ${surface}, radius ${bothLengths(radiusMm, unit)}:`
  if (everyTooth === null) return `${opening} further apart than the edge is round`
  const worst = oneTooth === null ? '' : `, ${bothHeights(oneTooth.exactMm, unit)} where one tooth stands out`
  return `${opening} ${bothHeights(everyTooth.exactMm, unit)} high where all teeth cut alike${worst}`
}
