import { UsageError } from '../../errors/index.js'
import {
  type AskedStops,
  type BoundedCoast,
  cautionsFor,
  checkDial,
  type StopDistances,
  stopDistances,
} from '../../jobs/index.js'
import { COASTS_FOR_BOUND } from '../../planning/stops/index.js'
import type { Axis, Machine, Store } from '../../store/index.js'
import {
  directionSign,
  feedUnit,
  formatDial,
  formatFeed,
  formatLength,
  fromMm,
  type LengthUnit,
  parseLengthMm,
} from '../../units/index.js'
import { printCautions } from '../cautions.js'
import type { AxisOptions } from '../context.js'
import { feedQuantity, lengthJson } from '../json-shapes.js'
import { parseDial, parseDirection } from '../options.js'
import { textTable } from '../render/text-table.js'
import { printJson, printResult } from '../terminal.js'

export interface StopsOptions extends AxisOptions {
  readonly dial?: string
  readonly direction?: string
  readonly margin?: string
}

/** `stops`: how far short of the hard end the limit stop must trip. */
export async function stops(
  store: Store,
  { machine, axis }: { readonly machine: Machine; readonly axis: Axis },
  options: StopsOptions,
): Promise<void> {
  const { unit } = machine
  const asked = askedStops(options, axis, unit)
  const found = stopDistances(store, axis, asked)
  const limits = whatItHoldsFor(found, unit)
  const cautions = cautionsFor('beforeStops')
  if (options.json) return printJson(stopsJson(found, asked, [...limits, ...cautions.cautions], unit))
  printCautions(cautions)
  printResult(render(found, limits, unit))
}

function askedStops(options: StopsOptions, axis: Axis, unit: LengthUnit): AskedStops {
  const marginMm = options.margin === undefined ? 0 : parseLengthMm(options.margin, unit, '--margin')
  if (marginMm < 0) {
    throw new UsageError('bad-margin', '--margin cannot be below zero.', 'Give it like --margin 0.05in.')
  }
  return {
    dials:
      options.dial === undefined
        ? null
        : options.dial.split(',').map((text) => checkDial(axis, parseDial(text))),
    direction: options.direction === undefined ? null : parseDirection(options.direction),
    marginMm,
  }
}

/** What the answer holds for and what not, one sentence each. */
function whatItHoldsFor(found: StopDistances, unit: LengthUnit): string[] {
  const { fastest, notCovered, missingDirections, notSetAgain, longerSeenMm } = found
  const [faster, others] = [notCovered.filter((one) => one.faster), notCovered.filter((one) => !one.faster)]
  const listed = (settings: readonly Setting[]) => settings.map((one) => settingText(one)).join(', ')
  return [
    `It holds up to ${settingWithFeed(fastest, unit)}, the fastest setting with a bound; a faster one coasts farther.`,
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
      : 'The rapid traverse is not covered: it coasts farther; record it with --dial rapid, or keep the rapid out of reach of the stop.',
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

type Setting = Pick<BoundedCoast, 'dial' | 'direction'>

function settingText({ dial, direction }: Setting): string {
  return `${dial === 'rapid' ? 'rapid' : `dial ${formatDial(dial)}`} ${directionSign(direction)}`
}

function settingWithFeed(setting: BoundedCoast, unit: LengthUnit): string {
  return `${settingText(setting)} (${formatFeed(setting.feedMmPerMin, null, unit)} ${feedUnit(unit)})`
}

function stopsJson(
  found: StopDistances,
  asked: AskedStops,
  cautions: readonly string[],
  unit: LengthUnit,
): unknown {
  return {
    coast: found.coasts.map((one) => ({
      dial: one.dial,
      direction: directionSign(one.direction),
      coasts: one.coasts,
      feed: feedQuantity(one.feedMmPerMin, unit),
      distance: lengthJson(one.meanMm, unit),
      standardDeviation: lengthJson(one.standardDeviationMm ?? 0, unit),
      upper95: lengthJson(one.upper95Mm, unit),
    })),
    setStopShort: lengthJson(found.setStopShortMm, unit),
    margin: lengthJson(asked.marginMm, unit),
    allowance: {
      ...lengthJson(found.allowance.allowanceMm, unit),
      tripTimeS: found.allowance.tripTimeS,
      setting: lengthJson(found.allowance.settingMm, unit),
      source: found.allowance.source,
    },
    added: lengthJson(found.addedMm, unit),
    holdsUpTo: {
      dial: found.fastest.dial,
      direction: directionSign(found.fastest.direction),
      feed: feedQuantity(found.fastest.feedMmPerMin, unit),
    },
    confidencePercent: 95,
    farthest: { dial: found.farthest.dial, direction: directionSign(found.farthest.direction) },
    notCovered: found.notCovered.map(({ dial, direction, coasts, faster }) => ({
      dial,
      direction: directionSign(direction),
      coasts,
      faster,
    })),
    cautions,
  }
}

function render(found: StopDistances, limits: readonly string[], unit: LengthUnit): string {
  const { fastest, farthest, allowance } = found
  return [
    `Set the limit stop to trip at least ${roundedUp(found.setStopShortMm, unit)} before the hard end, for settings up to ${settingWithFeed(fastest, unit)}.`,
    `  the next coast at ${settingText(fastest)} stays below ${roundedUp(fastest.upper95Mm, unit)} with 95 % probability`,
    ...(farthest === fastest
      ? []
      : [
          `  ${settingText(farthest)} may coast farther, up to ${roundedUp(farthest.upper95Mm, unit)}, so that decides`,
        ]),
    `  on top of it ${addedText(found, unit)}`,
    `    ${allowance.source}`,
    'What it holds for',
    ...limits.map((limit) => `  - ${limit}`),
    '',
    textTable(
      [
        { title: 'setting', align: 'left' },
        { title: feedUnit(unit), align: 'right' },
        { title: 'coasts', align: 'right' },
        { title: 'mean', align: 'right' },
        { title: 'next coast below, 95 %', align: 'right' },
      ],
      found.coasts.map((one) => [
        settingText(one),
        formatFeed(one.feedMmPerMin, null, unit),
        String(one.coasts),
        formatLength(one.meanMm, unit),
        roundedUp(one.upper95Mm, unit),
      ]),
    ),
  ].join('\n')
}

/** What is added to the coast and why. */
function addedText({ addedMm, allowance, fastest }: StopDistances, unit: LengthUnit): string {
  const least = `${allowance.tripTimeS} s at ${formatFeed(fastest.feedMmPerMin, null, unit)} ${feedUnit(unit)} until the drive lets go, and ${roundedUp(allowance.settingMm, unit)} for how exactly a stop can be set`
  return addedMm > allowance.allowanceMm
    ? `your margin of ${formatLength(addedMm, unit)}; the least would be ${roundedUp(allowance.allowanceMm, unit)}: ${least}`
    : `${roundedUp(addedMm, unit)}, the least that a stop needs: ${least}; a larger --margin replaces it`
}

/** A bound with its last digit rounded up, so that what is read is never below what was worked out. */
function roundedUp(valueMm: number, unit: LengthUnit): string {
  const perUnit = unit === 'in' ? 1000 : 100
  const digits = unit === 'in' ? 3 : 2
  return `${(Math.ceil(fromMm(valueMm, unit) * perUnit - 1e-9) / perUnit).toFixed(digits)} ${unit}`
}
