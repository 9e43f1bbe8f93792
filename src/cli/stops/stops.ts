import { UsageError } from '../../errors/index.js'
import {
  type AskedStops,
  cautionsFor,
  checkDial,
  type StopDistances,
  stopDistances,
} from '../../jobs/index.js'
import type { Axis, Store } from '../../store/index.js'
import {
  directionSign,
  feedUnit,
  formatFeed,
  formatLength,
  type LengthUnit,
  parseDialSetting,
  parseLengthMm,
} from '../../units/index.js'
import { boundText, stopLimits, stopSentences, stopSettingText } from '../../words/index.js'
import type { AxisOptions } from '../context.js'
import { feedQuantity, lengthJson } from '../json-shapes.js'
import { parseDirection } from '../options.js'
import { textTable } from '../render/text-table.js'
import { printCautions } from '../terminal/cautions.js'
import { printJson, printResult } from '../terminal/terminal.js'
import { onCommandLine } from '../wording.js'

export interface StopsOptions extends AxisOptions {
  readonly dial?: string
  readonly direction?: string
  readonly margin?: string
}

/** `stops`: how far short of the hard end the limit stop must trip. */
export async function stops(
  store: Store,
  { axis }: { readonly axis: Axis },
  options: StopsOptions,
): Promise<void> {
  const { unit } = axis
  const asked = askedStops(options, axis, unit)
  const found = stopDistances(store, axis, asked)
  const limits = stopLimits(found, unit).map(onCommandLine)
  const cautions = cautionsFor('beforeStops')
  if (options.json) return printJson(stopsJson(found, asked, [...limits, ...cautions.cautions], unit), axis)
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
        : options.dial.split(',').map((text) => checkDial(axis, parseDialSetting(text, '--dial', axis))),
    direction: options.direction === undefined ? null : parseDirection(options.direction),
    marginMm,
  }
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
  const [answer, ...why] = stopSentences(found, unit).map(onCommandLine)
  return [
    answer,
    ...why.map((sentence) => `  ${sentence}`),
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
        stopSettingText(one, found),
        formatFeed(one.feedMmPerMin, null, unit),
        String(one.coasts),
        formatLength(one.meanMm, unit),
        boundText(one.upper95Mm, unit),
      ]),
    ),
  ].join('\n')
}
