import type { Said } from '../errors/index.js'
import type { AxisAdvice } from '../jobs/index.js'
import type { NextRun } from '../planning/advice/index.js'
import { countOf } from '../text/index.js'
import {
  type DialWriting,
  directionSign,
  feedUnit,
  formatDial,
  formatFeed,
  formatLength,
  type LengthUnit,
} from '../units/index.js'

/** What to do for a feed: how many runs of which length, what they will tell, and the most useful one next. */
export function adviceSentences(
  found: AxisAdvice,
  feedMmPerMin: number,
  unit: LengthUnit,
): { readonly answer: string[]; readonly next: string[] } {
  const { advice, direction, next } = found
  const { runs, travelMm, timeS, expectedPercent, nowPercent, dial } = advice
  const feed = `${formatFeed(feedMmPerMin, null, unit)} ${feedUnit(unit)}`
  const setting = `${dial === null ? 'wherever the dial gives it' : `dial ${formatDial(dial, found)}`}, direction ${directionSign(direction)}`
  const now =
    nowPercent === null
      ? 'it has not been measured yet'
      : `it is known to ± ${nowPercent.toPrecision(2)} % now`
  const answer =
    runs === 0
      ? [
          `For ${feed} (${setting}) no more runs are needed: its mean is known to ± ${expectedPercent.toPrecision(2)} % (95 %).`,
        ]
      : [
          `For ${feed} (${setting}) make ${countOf(runs, 'run')} of ${formatLength(travelMm, unit)}, about ${Math.round(timeS)} s each. Set the dial again for each run.`,
          `Its mean should then be known to ± ${expectedPercent.toPrecision(2)} % (95 %); ${now}.`,
        ]
  return { answer, next: next === null ? [] : [nextText(next, runs > 0 && dial !== null, found)] }
}

/** Why so many runs are advised, one sentence each. */
export function adviceReasons({ advice, earlierRuns }: AxisAdvice, instrument: Said): Said[] {
  const { scatter, ownPercent, runs } = advice
  const sizes = `${scatter.runPercent.toFixed(2)} % from run to run and ${Number(scatter.dialReset.toPrecision(2))} of the dial from setting to setting`
  const source =
    scatter.from === 'earlier-runs'
      ? `The ${earlierRuns} earlier runs of this axis scatter by about ${sizes} (${scatter.degreesOfFreedom} repeats).`
      : `No setting was repeated yet, so typical values are used: ${sizes} (common practice, no source). Ask again after the first runs.`
  const own = `A run of this length is good to ${Number(ownPercent.toPrecision(2))} % on its own. Feeds also change from run to run, so set the dial again for each run.`
  return [source, ...(runs === 0 ? [] : [own]), instrument]
}

function nextText(
  { dial, direction, because, nowPercent }: NextRun,
  ofThese: boolean,
  writing: DialWriting,
): string {
  const where = `dial ${formatDial(dial, writing)} in direction ${directionSign(direction)}`
  if (ofThese) return `The next most useful run is one of these: ${where}.`
  const reason = {
    'not-measured': 'it has not been measured yet',
    'never-repeated': 'the dial was never set there a second time',
    'between-marks': `the curve is least sure there, to ± ${nowPercent?.toPrecision(2) ?? '?'} %`,
    widest: `its mean is the least well known, to ± ${nowPercent?.toPrecision(2) ?? '?'} %`,
  }[because]
  return `The next most useful run on this axis is at ${where}: ${reason}.`
}
