import {
  FRAMING_8N1,
  type Framing,
  framingSeenAs8N1,
  type SerialLinkSettings,
  sayFraming,
  withDataBits,
} from './learn-framing.js'
import { type ArrivedBytes, type SignalQuality, signalQuality } from './signal-quality.js'

/** Hands out what a port receives with the speed and framing asked for. It cannot write. */
export interface ByteSource {
  /**
   * Listens until `enough` says so; it is asked now and then with all bytes of this call so far and the time since
   * its start, s.
   */
  listen(
    link: SerialLinkSettings,
    enough: (chunks: readonly ArrivedBytes[], elapsedS: number) => boolean,
  ): Promise<readonly ArrivedBytes[]>
}

/** One speed and framing that was tried, and what came of it. */
export interface LinkTrial {
  readonly link: SerialLinkSettings
  readonly quality: SignalQuality
}

interface LinkSearch {
  readonly trials: readonly LinkTrial[]
  /** The one that meets every demand, or null: then none is better than a guess. */
  readonly found: LinkTrial | null
}

/** Speeds of readouts and adapters, the usual ones first (common practice, no source). */
export const BAUD_RATES = [9600, 115_200, 19_200, 38_400, 57_600, 4800, 2400, 1200, 230_400, 460_800, 921_600]

/**
 * Framings that cannot be told from bytes received as 8N1, the more usual first (common practice, no source).
 */
const OTHER_FRAMINGS: readonly Framing[] = [
  { dataBits: 8, parity: 'even', stopBits: 1 },
  { dataBits: 8, parity: 'odd', stopBits: 1 },
]

/**
 * Time without a byte, s, after which a speed is given up. Judgement: a readout sends once a second at least; half
 * as much again is for its first line.
 */
const QUIET_S = 1.6
/**
 * The same at the first speed, s. Judgement: a board that restarts when its port is opened takes up to two seconds
 * more.
 */
const FIRST_QUIET_S = 3.2
/** Lines of one shape after which no more are needed. Judgement: more than garbage makes (`FEWEST_LINES`). */
const ENOUGH_LINES = 8
/** Time, s, after which no more lines are waited for. Judgement: eight lines at one a second. */
const LONGEST_S = 8
/** Bytes after which, few of them plain text, more will not help. Judgement: about four lines. */
const HOPELESS_BYTES = 80
/**
 * Share of plain text below which bytes are garbage. Judgement: at a wrong speed about half of the bytes are
 * printable by chance, of damaged text far more than four fifths.
 */
const HOPELESS_SHARE = 0.8
/**
 * Characters a line by which one framing has to give more text than another. Judgement: one lost character in ten
 * lines is damage.
 */
const LOST_CHARACTERS = 0.1
/** Time, s, after which what hardly looks like text is given up (judgement: two lines of a slow readout). */
const DOUBTFUL_S = 2.5

/**
 * Tries speeds and framings until the lines of a readout appear. All speeds are tried as 8N1 first, which also shows
 * 7-bit framings; those with 8 data bits and parity come after.
 *
 * @param pinned what the user says about it is not tried out
 * @param onTrial is told each one as it is over
 */
export async function findLink(
  source: ByteSource,
  pinned: { readonly baudRate?: number | undefined; readonly framing?: Framing | undefined } = {},
  onTrial: (trial: LinkTrial) => void = () => {},
): Promise<LinkSearch> {
  const trials: LinkTrial[] = []
  const baudRates = pinned.baudRate === undefined ? BAUD_RATES : [pinned.baudRate]
  const framings = pinned.framing === undefined ? [FRAMING_8N1, ...OTHER_FRAMINGS] : [pinned.framing]
  for (const framing of framings) {
    for (const baudRate of baudRates) {
      const trial = await tryLink(source, { baudRate, ...framing }, trials.length === 0)
      trials.push(trial)
      onTrial(trial)
      if (!trial.quality.sound) continue
      if (pinned.framing !== undefined || sayFraming(trial.link) !== '8N1') return { trials, found: trial }
      return { trials, found: await withParityTried(source, trial, trials) }
    }
    // Silence is the same in every framing.
    if (trials.every(({ quality }) => quality.bytes === 0)) break
  }
  return { trials, found: null }
}

/**
 * A parity bit in the place of the stop bit makes a receiver drop every byte whose parity bit is 0: lines that lack
 * some of their digits, or hold zeros in their place, but all of one shape. The framing that gives the most text a
 * line loses nothing.
 */
async function withParityTried(
  source: ByteSource,
  plain: LinkTrial,
  trials: LinkTrial[],
): Promise<LinkTrial> {
  let best = plain
  for (const framing of OTHER_FRAMINGS) {
    const trial = await tryLink(source, { baudRate: plain.link.baudRate, ...framing }, false)
    trials.push(trial)
    if (trial.quality.sound && textPerLine(trial) > textPerLine(best) + LOST_CHARACTERS) best = trial
  }
  return best
}

/**
 * Bytes of plain text without a whole line, over the whole time of a trial, that are told as lines without an end, and
 * the share of digits in them: a readout's lines are mostly digits, the repeated bits of a wrong speed hardly ever
 * (common practice, no source).
 */
const ENDLESS_BYTES = 40
const ENDLESS_SHARE = 0.99
const ENDLESS_DIGITS = 0.25

/** Readable numbers that never end a line: speed and framing are right, but no number can be told whole. */
export function isEndless({ quality }: LinkTrial): boolean {
  const { bytes, printableShare, digitShare, lines } = quality
  return (
    lines === 0 && bytes >= ENDLESS_BYTES && printableShare >= ENDLESS_SHARE && digitShare >= ENDLESS_DIGITS
  )
}

function textPerLine({ quality }: LinkTrial): number {
  return quality.lineLength * quality.printableShare
}

async function tryLink(source: ByteSource, link: SerialLinkSettings, first: boolean): Promise<LinkTrial> {
  const chunks = await source.listen(link, (soFar, elapsedS) => isEnough(soFar, elapsedS, first, link))
  const framing = seenFraming(chunks, link)
  return {
    link: { baudRate: link.baudRate, ...framing },
    quality: signalQuality(withDataBits(chunks, framing.dataBits)),
  }
}

function seenFraming(chunks: readonly ArrivedBytes[], link: SerialLinkSettings): Framing {
  const { baudRate: _, ...framing } = link
  return sayFraming(framing) === '8N1' ? framingSeenAs8N1(chunks) : framing
}

function isEnough(
  chunks: readonly ArrivedBytes[],
  elapsedS: number,
  first: boolean,
  link: SerialLinkSettings,
): boolean {
  if (chunks.length === 0) return elapsedS >= (first ? FIRST_QUIET_S : QUIET_S)
  if (elapsedS >= LONGEST_S) return true
  const { bytes, printableShare, runLines, sound } = signalQuality(
    withDataBits(chunks, seenFraming(chunks, link).dataBits),
  )
  if (sound && runLines >= ENOUGH_LINES) return true
  const hopeless = printableShare < HOPELESS_SHARE
  return hopeless && (bytes >= HOPELESS_BYTES || elapsedS >= DOUBTFUL_S)
}
