import { type Said, sentence, way } from '../errors/index.js'
import type { RecheckReport } from '../jobs/index.js'
import {
  amountAsPercent,
  MOST_LOOKS,
  type PercentDifference,
  type Verdict,
} from '../planning/recheck/index.js'
import { formatDial } from '../units/index.js'

const VERDICTS: Readonly<Record<Verdict, string>> = {
  holds: 'The table holds',
  moved: 'The table has moved',
  undecided: 'Not decided yet',
}

/** All marks together, what explains the move, what to do next, and what to bear in mind; a sentence or two each. */
export function recheckSentences(report: RecheckReport): Said[] {
  const { outcome } = report
  return [
    `All marks together: ${signedInterval(outcome.scale)}`,
    ...explanation(report),
    ...whatNext(report),
    ...outcome.notCompared.map((sentence) => `Not compared: ${sentence}`),
    ...report.conditions.map(
      ({ condition, table, now }) =>
        `Conditions differ: ${condition} was ${list(table)} for the table, is ${list(now)} now.`,
    ),
  ]
}

/** The verdict in words. */
export function verdictWords(verdict: Verdict): string {
  return VERDICTS[verdict]
}

/** The change that a new table would be made by, in words. */
export function describeChange({ change }: Pick<RecheckReport, 'change'>): string {
  if (change === null) return 'none'
  if (change.cause === 'scale') return `all feeds ${signedInterval(amountAsPercent(change.amount))}`
  return `knob turned by ${signedDial(change.amount)} of the dial`
}

/** A difference in percent with its 95 % interval. */
export function signedInterval({ value, interval95: [low, high] }: PercentDifference): string {
  return `${signed(value)} % (95 %: ${signed(low)} … ${signed(high)} %)`
}

function explanation({ outcome: { cause, tellsApart: apart } }: RecheckReport): Said[] {
  if (cause === null) return []
  const scale = `one factor for all feeds (supply voltage, grease, motor): ${signedInterval(amountAsPercent(cause.logScale))}`
  const offset =
    cause.offset === null ? null : `the knob turned on its shaft: ${signedDial(cause.offset)} of the dial`
  const sure = (name: keyof typeof cause.probability) =>
    `${Math.round(100 * cause.probability[name])} % probable`
  switch (cause.cause) {
    case 'scale':
      return [`What explains it: ${scale}; ${sure('scale')}.`]
    case 'offset':
      return [`What explains it: ${offset}; ${sure('offset')}.`]
    case 'shape':
      return [
        sentence`What explains it: the shape of the dial curve changed; ${sure('shape')}. Calibrate anew${way('calibrate')}.`,
      ]
    case null:
      return [
        'These runs do not tell what moved:',
        `  ${scale}; ${sure('scale')}`,
        ...(offset === null ? [] : [`  ${offset}; ${sure('offset')}`]),
        `  the shape of the dial curve; ${sure('shape')}`,
        apart === null
          ? sentence`Calibrate anew${way('calibrate')}.`
          : `To tell a factor from a turned knob: ${apart.runs} runs at dial ${formatDial(apart.dial)}, set anew; then recheck again with these runs.`,
      ]
  }
}

function whatNext({ outcome: { next }, withinPercent, tables }: RecheckReport): Said[] {
  if (next === null) return []
  const finest = `The table itself is only known so well that no number of new runs shows less than ${next.finest.withinPercent.toFixed(1)} % at dial ${formatDial(next.finest.dial)}.`
  if (next.runs.length === 0) {
    return [
      `${MOST_LOOKS} looks did not decide; a further one would raise the risk of a false alarm. ${finest}`,
      sentence`Begin afresh${way('afresh')}, allow a wider tolerance${way('tolerance', { percent: null })}, or calibrate with more runs at each mark${way('calibrate')}.`,
    ]
  }
  const each = tables.length > 1 ? ' in each direction' : ''
  const runs = next.runs.map(({ dial, runs }) => `dial ${formatDial(dial)}: ${runs} more${each}`).join(', ')
  const likely = `${Math.round(100 * next.decides)} %`
  if (!next.worthwhile) {
    return [
      `More runs are not likely to decide within ${withinPercent} % (${runs}: ${likely}). ${finest}`,
      sentence`Begin afresh${way('afresh')} and allow a wider tolerance${way('tolerance', { percent: null })}, or calibrate with more runs at each mark${way('calibrate')}.`,
    ]
  }
  return [
    `To decide: ${runs}, each set anew (${likely} likely to be enough). Then recheck again with these runs.`,
  ]
}

function signedDial({ value, interval95: [low, high] }: PercentDifference): string {
  return `${signed(value)} (95 %: ${signed(low)} … ${signed(high)})`
}

function signed(value: number): string {
  const text = value.toFixed(2)
  if (Number(text) === 0) return '0.00'
  return value > 0 ? `+${text}` : text
}

function list(values: readonly string[]): string {
  return values.length === 0 ? 'not noted' : values.join(' and ')
}
