import { MM_PER_INCH } from '../units/index.js'
import type { RunEvidence } from './feed-table.js'

/** Slips of a hand that writes down or presses, and what they make of a feed. */
interface Slip {
  /** The feed as written over the true one. */
  readonly factor: number
  /** A part of a sentence. */
  readonly words: string
}

/** Factors exact by definition of the units, of a decimal place and of a line passed twice. Which are usual: from memory. */
const USUAL: readonly Slip[] = [
  { factor: 10, words: 'a decimal point one place off' },
  { factor: 1 / 10, words: 'a decimal point one place off' },
  { factor: 2, words: 'half the time or twice the distance, such as a press at the wrong line' },
  { factor: 1 / 2, words: 'twice the time or half the distance, such as a press at the wrong line' },
  { factor: MM_PER_INCH, words: 'millimetres written as inches' },
  { factor: 1 / MM_PER_INCH, words: 'inches written as millimetres' },
  { factor: 60, words: 'minutes written as seconds' },
  { factor: 1 / 60, words: 'seconds written as minutes' },
]
/** A slip explains a factor that is this near, log: what a feed foretold by the marks around may itself be off (judgement). */
const NEAR = Math.log(1.25)
/** Another setting explains a feed that is this near, log: what a setting scatters at a low mark (judgement). */
const NEAR_MARK = Math.log(1.1)
/** Whole minutes that are dropped or added in writing, at most (judgement). */
const MOST_MINUTES = 3
/** Slips that are named. Judgement: with more the sentence tells nothing. */
const MOST_NAMED = 2

/**
 * What may have happened to a run that is wrong by a factor, the nearest first, as a sentence.
 *
 * @param factor its feed over the one that was to be expected
 * @param marks dials and feeds of the other marks of its direction, mm/min
 * @param write how a dial setting is written
 */
export function likelySlip(
  run: RunEvidence,
  factor: number,
  marks: readonly { readonly dial: number; readonly feedMmPerMin: number }[],
  write: (dial: number) => string,
): string {
  const off = (one: number) => Math.abs(Math.log(factor / one))
  const slips = [...(run.source === 'stopwatch' ? USUAL : []), ...(run.entry ? slipsOf(run.entry) : [])]
    .filter((slip) => off(slip.factor) <= NEAR)
    .sort((a, b) => off(a.factor) - off(b.factor))
    .map(({ words }) => words)
  const alike = marks
    .filter(({ dial, feedMmPerMin }) => dial !== run.dial && feedMmPerMin > 0)
    .map(({ dial, feedMmPerMin }) => ({ dial, off: Math.abs(Math.log(run.feedMmPerMin / feedMmPerMin)) }))
    .filter((mark) => mark.off <= NEAR_MARK)
    .sort((a, b) => a.off - b.off)
    .slice(0, 1)
    .map(({ dial }) => `the dial at ${write(dial)}`)
  const words = [...[...new Set(slips)].slice(0, MOST_NAMED), ...alike]
  if (words.length > 0) return `It looks like ${words.join(', or ')}.`
  return run.source === 'stopwatch'
    ? 'Look for a figure written down wrong, a press at the wrong line or a wrong dial.'
    : 'Look for a wrong dial, a lever that slipped or a readout that lost counts.'
}

/** What slips in these very figures would make of the feed. */
function slipsOf({ distanceMm, durationS }: NonNullable<RunEvidence['entry']>): Slip[] {
  const minutes = Array.from({ length: MOST_MINUTES }, (_, k) => 60 * (k + 1)).flatMap((s) => [s, -s])
  const byMinutes = minutes.map((s) => durationS + s).filter((meantS) => meantS > 0)
  const ofTime = [...byMinutes, ...swapped(durationS)].map((meantS) => ({
    factor: meantS / durationS,
    words: `${number(durationS)} s written for ${number(meantS)} s`,
  }))
  const ofDistance = [1, MM_PER_INCH].flatMap((unit) =>
    swapped(distanceMm / unit).map((meant) => ({
      factor: distanceMm / unit / meant,
      words: 'two figures of the distance swapped',
    })),
  )
  return [...ofTime, ...ofDistance]
}

/** The number with two figures beside each other swapped, in every way. */
function swapped(value: number): number[] {
  const figures = number(value)
  return Array.from({ length: figures.length - 1 }, (_, i) => {
    const [a, b] = [figures[i]!, figures[i + 1]!]
    return Number(`${figures.slice(0, i)}${b}${a}${figures.slice(i + 2)}`)
  }).filter((one) => number(one).length === figures.length && one > 0 && one !== value)
}

/** As a person writes it, at most with thousandths. */
function number(value: number): string {
  return String(Number(value.toFixed(3)))
}
