import { UsageError } from '../../errors/index.js'
import {
  type AskedStops,
  type BoundedCoast,
  checkDial,
  type StopDistances,
  stopDistances,
} from '../../jobs/index.js'
import type { Axis, Machine, Store } from '../../store/index.js'
import {
  directionSign,
  formatDial,
  formatLength,
  fromMm,
  type LengthUnit,
  parseLengthMm,
} from '../../units/index.js'
import { cautionsFor } from '../cautions.js'
import type { AxisOptions } from '../context.js'
import { lengthJson } from '../json-shapes.js'
import { parseDial, parseDirection } from '../options.js'
import { textTable } from '../render/text-table.js'
import { paintErr, printJson, printResult, say } from '../terminal.js'

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
  const own = ownCautions(found, asked, unit)
  const cautions = [...own, ...(await cautionsFor('beforeStops'))]
  if (options.json) return printJson(stopsJson(found, asked, cautions, unit))
  printResult(render(found, asked, unit))
  for (const caution of own) say(paintErr('yellow', `Note: ${caution}`))
  say(paintErr('bold', 'Before you trust a stop'))
  for (const caution of cautions.slice(own.length)) say(`  - ${caution}`)
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

function ownCautions(found: StopDistances, asked: AskedStops, unit: LengthUnit): string[] {
  const { coasts, tooFew, notSetAnew } = found
  const fastest = coasts.map((one) => one.dial).filter((dial) => dial !== 'rapid')
  return [
    asked.marginMm === 0
      ? `No margin is in this: give --margin, say --margin ${unit === 'in' ? '0.1in' : '2mm'}, for what nobody measured.`
      : '',
    tooFew.length === 0
      ? ''
      : `Not covered, because they have fewer than 3 coasts: ${tooFew.map((one) => settingText(one)).join(', ')}.`,
    found.coversRapid
      ? ''
      : 'The rapid traverse is not covered: it coasts farther; record it with --dial rapid, or keep the rapid out of reach of the stop.',
    fastest.length === 0
      ? ''
      : `It holds up to dial ${formatDial(Math.max(...fastest))}; a faster setting coasts farther.`,
    notSetAnew.length === 0
      ? ''
      : `The dial was not set anew between the coasts of ${notSetAnew.map((one) => settingText(one)).join(', ')}, so setting it again may change them more than this knows.`,
  ].filter((text) => text !== '')
}

function settingText({ dial, direction }: Pick<BoundedCoast, 'dial' | 'direction'>): string {
  return `${dial === 'rapid' ? 'rapid' : `dial ${formatDial(dial)}`} ${directionSign(direction)}`
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
      distance: lengthJson(one.meanMm, unit),
      standardDeviation: lengthJson(one.standardDeviationMm ?? 0, unit),
      upper95: lengthJson(one.upper95Mm, unit),
    })),
    setStopShort: lengthJson(found.setStopShortMm, unit),
    margin: lengthJson(asked.marginMm, unit),
    confidencePercent: 95,
    farthest: { dial: found.farthest.dial, direction: directionSign(found.farthest.direction) },
    notCovered: found.tooFew.map(({ dial, direction, coasts }) => ({
      dial,
      direction: directionSign(direction),
      coasts,
    })),
    cautions,
  }
}

function render(found: StopDistances, { marginMm }: AskedStops, unit: LengthUnit): string {
  const margin = marginMm === 0 ? '' : ` and ${formatLength(marginMm, unit)} of margin`
  return [
    textTable(
      [
        { title: 'setting', align: 'left' },
        { title: 'coasts', align: 'right' },
        { title: 'mean', align: 'right' },
        { title: 'next one below, 95 %', align: 'right' },
      ],
      found.coasts.map((one) => [
        settingText(one),
        String(one.coasts),
        formatLength(one.meanMm, unit),
        roundedUp(one.upper95Mm, unit),
      ]),
    ),
    '',
    `Let the limit stop trip at least ${roundedUp(found.setStopShortMm, unit)} short of the hard end.`,
    `  That is the bound of ${settingText(found.farthest)}${margin}: the next coast stays below it with 95 % probability.`,
  ].join('\n')
}

/** A bound with its last digit rounded up, so that what is read is never below what was worked out. */
function roundedUp(valueMm: number, unit: LengthUnit): string {
  const perUnit = unit === 'in' ? 1000 : 100
  const digits = unit === 'in' ? 3 : 2
  return `${(Math.ceil(fromMm(valueMm, unit) * perUnit - 1e-9) / perUnit).toFixed(digits)} ${unit}`
}
