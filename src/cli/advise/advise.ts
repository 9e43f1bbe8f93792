import { type AxisAdvice, adviseAxis } from '../../jobs/index.js'
import type { NextRun } from '../../planning/advice/index.js'
import type { Machine, MachineAxis, Store } from '../../store/index.js'
import {
  directionSign,
  feedUnit,
  formatDial,
  formatFeed,
  formatLength,
  parseFeedMmPerMin,
} from '../../units/index.js'
import { feedQuantity, lengthJson } from '../json-shapes.js'
import { parseDirection, parsePercent } from '../options.js'
import { printJson, printResult } from '../terminal.js'
import { onCommandLine } from '../wording.js'
import { type AdviseOptions, instrumentOf, positive } from './options.js'

/** `advise`: how long a traverse and how many runs, and the next most useful run. */
export function adviseCommand(
  store: Store,
  target: MachineAxis,
  options: AdviseOptions & { readonly feed: string },
): void {
  const { machine } = target
  const feedMmPerMin = positive(parseFeedMmPerMin(options.feed, machine.unit, '--feed'), '--feed')
  const withinPercent = parsePercent(options.within, '--within')
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
