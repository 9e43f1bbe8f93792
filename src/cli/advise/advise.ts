import { type Said, UsageError } from '../../errors/index.js'
import { type AxisAdvice, adviseAxis, timingOf } from '../../jobs/index.js'
import type { Instrument, NextRun } from '../../planning/advice/index.js'
import type { Machine, MachineAxis, Store } from '../../store/index.js'
import {
  directionSign,
  feedUnit,
  formatDial,
  formatFeed,
  formatLength,
  parseFeedMmPerMin,
  parseLengthMm,
  parseNumber,
} from '../../units/index.js'
import type { AxisOptions } from '../context.js'
import { feedQuantity, lengthJson } from '../json-shapes.js'
import { parseDirection } from '../options.js'
import { printJson, printResult } from '../terminal.js'
import { onCommandLine } from '../wording.js'

export interface AdviseOptions extends AxisOptions {
  readonly feed: string
  readonly within: string
  readonly stopwatch?: boolean
  readonly person?: string
  readonly readoutRate?: string
  readonly readoutStep?: string
  readonly direction?: string
}

/** `advise`: how long a traverse and how many runs, and the next most useful run. */
export function adviseCommand(store: Store, target: MachineAxis, options: AdviseOptions): void {
  const { machine } = target
  const feedMmPerMin = positive(parseFeedMmPerMin(options.feed, machine.unit, '--feed'), '--feed')
  const withinPercent = positive(parseNumber(options.within.replace(/\s*%$/, ''), '--within'), '--within')
  const { instrument, sentence } = instrumentOf(store, machine, options)
  const answer = adviseAxis(store, target, {
    feedMmPerMin,
    within: withinPercent / 100,
    instrument,
    direction: options.direction === undefined ? 1 : parseDirection(options.direction),
  })
  const why = reasons(answer, onCommandLine(sentence))
  if (options.json) printJson(adviceJson(answer, feedMmPerMin, withinPercent, why.join(' '), machine))
  else printResult(render(answer, feedMmPerMin, why, machine))
}

function instrumentOf(
  store: Store,
  { unit }: Machine,
  options: AdviseOptions,
): { instrument: Instrument; sentence: Said } {
  const byReadout = options.readoutRate !== undefined || options.readoutStep !== undefined
  if (byReadout === (options.stopwatch === true)) {
    throw new UsageError(
      'no-instrument',
      byReadout
        ? 'Give either a stopwatch or a readout, not both.'
        : 'It is not clear what the runs are timed with.',
      'Give --stopwatch, or --readout-rate 10 and --readout-step 0.0002in.',
    )
  }
  if (!byReadout) {
    const { timing, sentence } = timingOf(store, options.person)
    return {
      instrument: {
        kind: 'stopwatch',
        ...(timing === null ? {} : { pressSpreadS: timing.pressSpreadS }),
      },
      sentence,
    }
  }
  if (options.readoutRate === undefined || options.readoutStep === undefined) {
    throw new UsageError(
      'no-instrument',
      'A readout needs both its rate and its step.',
      'Give both --readout-rate 10 and --readout-step 0.0002in.',
    )
  }
  const rateHz = positive(
    parseNumber(options.readoutRate.replace(/\s*Hz$/i, ''), '--readout-rate'),
    '--readout-rate',
  )
  const stepMm = positive(parseLengthMm(options.readoutStep, unit, '--readout-step'), '--readout-step')
  return {
    instrument: { kind: 'readout', rateHz, stepMm },
    sentence: `The readout is taken to send ${rateHz} lines a second in steps of ${options.readoutStep}.`,
  }
}

function positive(value: number, what: string): number {
  if (value > 0) return value
  throw new UsageError('bad-number', `${what} must be above 0.`, `Give ${what} a size above zero.`)
}

function reasons({ advice, earlierRuns }: AxisAdvice, instrument: string): string[] {
  const { scatter, ownPercent, runs } = advice
  const sizes = `${scatter.runPercent.toFixed(2)} % from run to run and ${Number(scatter.dialReset.toPrecision(2))} of the dial from setting to setting`
  const source =
    scatter.from === 'earlier-runs'
      ? `The ${earlierRuns} earlier runs of this axis scatter by about ${sizes} (${scatter.degreesOfFreedom} repeats).`
      : `No setting was repeated yet, so typical values are used: ${sizes} (common practice, no source). Ask again after the first runs.`
  const own = `A run of this length is good to ${Number(ownPercent.toPrecision(2))} % on its own. Feeds also change from run to run, so set the dial again for each run.`
  return [source, ...(runs === 0 ? [] : [own]), instrument]
}

function adviceJson(
  { advice, direction, next, earlierRuns }: AxisAdvice,
  feedMmPerMin: number,
  withinPercent: number,
  why: string,
  { unit }: Machine,
): unknown {
  return {
    target: feedQuantity(feedMmPerMin, unit),
    withinPercent,
    dial: advice.dial,
    direction: directionSign(direction),
    travel: lengthJson(advice.travelMm, unit),
    runs: advice.runs,
    timeS: advice.timeS,
    expectedPercent: advice.expectedPercent,
    nowPercent: advice.nowPercent,
    runPercent: advice.ownPercent,
    scatter: { ...advice.scatter, earlierRuns },
    next:
      next === null
        ? null
        : {
            dial: next.dial,
            direction: directionSign(next.direction),
            because: next.because,
            nowPercent: next.nowPercent,
          },
    why,
  }
}

function render(
  { advice, direction, next }: AxisAdvice,
  feedMmPerMin: number,
  why: readonly string[],
  { unit }: Machine,
): string {
  const { runs, travelMm, timeS, expectedPercent, nowPercent, dial } = advice
  const feed = `${formatFeed(feedMmPerMin, null, unit)} ${feedUnit(unit)}`
  const setting = `${dial === null ? 'wherever the dial gives it' : `dial ${formatDial(dial)}`}, direction ${directionSign(direction)}`
  const now =
    nowPercent === null
      ? 'it has not been measured yet'
      : `it is known to ± ${nowPercent.toPrecision(2)} % now`
  return [
    runs === 0
      ? `For ${feed} (${setting}) no more runs are needed: its mean is known to ± ${expectedPercent.toPrecision(2)} % (95 %).`
      : `For ${feed} (${setting}) make ${runs} ${runs === 1 ? 'run' : 'runs'} of ${formatLength(travelMm, unit)}, about ${Math.round(timeS)} s each. Set the dial again for each run.`,
    ...(runs === 0
      ? []
      : [`  Its mean should then be known to ± ${expectedPercent.toPrecision(2)} % (95 %); ${now}.`]),
    ...why.map((sentence) => `  ${sentence}`),
    ...(next === null ? [] : [`  ${nextText(next, runs > 0 && dial !== null)}`]),
  ].join('\n')
}

function nextText({ dial, direction, because, nowPercent }: NextRun, ofThese: boolean): string {
  const where = `dial ${formatDial(dial)} in direction ${directionSign(direction)}`
  if (ofThese) return `The next most useful run is one of these: ${where}.`
  const reason = {
    'not-measured': 'it has not been measured yet',
    'never-repeated': 'the dial was never set there a second time',
    widest: `its mean is the least well known, to ± ${nowPercent?.toPrecision(2) ?? '?'} %`,
  }[because]
  return `The next most useful run on this axis is at ${where}: ${reason}.`
}
