import { type Said, sentence, way } from '../errors/index.js'
import type { BoundedCoast, StopDistances } from '../jobs/index.js'
import { COASTS_FOR_BOUND } from '../planning/stops/index.js'
import {
  type DialWriting,
  directionSign,
  feedUnit,
  formatDial,
  formatFeed,
  formatLength,
  fromMm,
  type LengthUnit,
} from '../units/index.js'

/** Where the limit stop has to trip, and what that is made of; a sentence each. */
export function stopSentences(found: StopDistances, unit: LengthUnit): Said[] {
  const { fastest, farthest, allowance } = found
  return [
    `Set the limit stop to trip at least ${boundText(found.setStopShortMm, unit)} before the hard end, for settings up to ${settingWithFeed(fastest, unit, found)}.`,
    `the next coast at ${stopSettingText(fastest, found)} stays below ${boundText(fastest.upper95Mm, unit)} with 95 % probability`,
    ...(farthest === fastest
      ? []
      : [
          `${stopSettingText(farthest, found)} may coast farther, up to ${boundText(farthest.upper95Mm, unit)}, so that decides`,
        ]),
    sentence`on top of it ${addedText(found, unit)}`,
    `  ${allowance.source}`,
  ]
}

/** What the answer holds for and what not, one sentence each. */
export function stopLimits(found: StopDistances, unit: LengthUnit): Said[] {
  const { fastest, notCovered, missingDirections, notSetAgain, longerSeenMm } = found
  const [faster, others] = [notCovered.filter((one) => one.faster), notCovered.filter((one) => !one.faster)]
  const listed = (settings: readonly Setting[]) =>
    settings.map((one) => stopSettingText(one, found)).join(', ')
  return [
    `It holds up to ${settingWithFeed(fastest, unit, found)}, the fastest setting with a bound; a faster one coasts farther.`,
    faster.length === 0
      ? ''
      : `Not covered, though it was measured and is faster: ${listed(faster)}, which has fewer than ${COASTS_FOR_BOUND} coasts. Do not use it near the stop.`,
    others.length === 0
      ? ''
      : `Not covered, because they have fewer than ${COASTS_FOR_BOUND} coasts: ${listed(others)}.`,
    longerSeenMm === null
      ? ''
      : `A coast of ${formatLength(longerSeenMm, unit)} was seen at a setting that is not covered; the answer is not below it.`,
    found.coversRapid
      ? ''
      : sentence`The rapid traverse is not covered: it coasts farther. Record it${way('traverse-rapid')}, or keep the rapid out of reach of the stop.`,
    ...missingDirections.map(
      (direction) =>
        `Direction ${directionSign(direction)} is not covered: a stop at that end needs coasts of its own.`,
    ),
    'It was measured without a cut and with what lay on the table at the time: a heavier load coasts farther.',
    notSetAgain.length === 0
      ? ''
      : `The dial was not set again between the coasts of ${listed(notSetAgain)}, so the next setting may coast farther than this shows.`,
  ].filter((text) => text !== '')
}

/** A setting of the dial in one direction. */
type Setting = Pick<BoundedCoast, 'dial' | 'direction'>

/** `dial 5 +`, `rapid -`. */
export function stopSettingText({ dial, direction }: Setting, writing: DialWriting): string {
  return `${dial === 'rapid' ? 'rapid' : `dial ${formatDial(dial, writing)}`} ${directionSign(direction)}`
}

function settingWithFeed(setting: BoundedCoast, unit: LengthUnit, writing: DialWriting): string {
  return `${stopSettingText(setting, writing)} (${formatFeed(setting.feedMmPerMin, null, unit)} ${feedUnit(unit)})`
}

/** What is added to the coast and why. */
function addedText({ addedMm, allowance, fastest }: StopDistances, unit: LengthUnit): Said {
  const least = `${allowance.tripTimeS} s at ${formatFeed(fastest.feedMmPerMin, null, unit)} ${feedUnit(unit)} until the drive lets go, and ${boundText(allowance.settingMm, unit)} for how exactly a stop can be set`
  return addedMm > allowance.allowanceMm
    ? `your margin of ${formatLength(addedMm, unit)}; the least would be ${boundText(allowance.allowanceMm, unit)}: ${least}`
    : sentence`${boundText(addedMm, unit)}, the least that a stop needs: ${least}; a larger margin${way('stop-margin')} replaces it`
}

/** A bound with its last digit rounded up, so that what is read is never below what was worked out. */
export function boundText(valueMm: number, unit: LengthUnit): string {
  const perUnit = unit === 'in' ? 1000 : 100
  const digits = unit === 'in' ? 3 : 2
  return `${(Math.ceil(fromMm(valueMm, unit) * perUnit - 1e-9) / perUnit).toFixed(digits)} ${unit}`
}
