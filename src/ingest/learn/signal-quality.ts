import { LineAssembler } from '../lines/line-assembler.js'
import { lineTokenizer } from '../lines/line-tokens.js'
import type { StampedLine } from '../lines/stamped-line.js'

/** Bytes as a port handed them over. */
export interface ArrivedBytes {
  readonly bytes: Uint8Array
  /** Monotonic, s. */
  readonly arrivalS: number
}

/** How much a stretch of bytes looks like the lines of a readout. */
export interface SignalQuality {
  readonly bytes: number
  /** Share of bytes that are plain text or line ends. */
  readonly printableShare: number
  /** Share of bytes that are digits. */
  readonly digitShare: number
  /** Whole lines, the first one left out since listening may have begun midway. */
  readonly lines: number
  /** Share of lines that are plain text with a number. */
  readonly readableShare: number
  /** Mean length of a line without its end, characters. */
  readonly lineLength: number
  /** Longest run of lines that repeat one shape, or a round of shapes where every axis has a line of its own. */
  readonly runLines: number
  /** Lines in a round of shapes; 1 where all lines are alike. */
  readonly roundLines: number
  /** Time from one round to the next, s; null where it is not steady or the lines are too few. */
  readonly periodS: number | null
  /** All demands are met: this is a readout, read with the right speed and framing. */
  readonly sound: boolean
}

/**
 * Consecutive lines of one shape that are demanded. Judgement: garbage makes one or two by chance, hardly five.
 */
const FEWEST_LINES = 5
/** Lines of a round of shapes that are tried at most. Judgement: six axes or values in turn. */
const MOST_ROUND_LINES = 6
/** Share of the bytes that must be plain text. Judgement: a wrong speed gives about half, a sound link all. */
const PRINTABLE_SHARE = 0.97
/**
 * Share of the lines that must be readable as lines of text with a number. Judgement: one in five may be damaged,
 * as in every other test here.
 */
const READABLE_SHARE = 0.8
/** Share of all lines that must belong to the run. Judgement: more than half. */
const RUN_SHARE = 0.6
/** Characters of a line above which it shows no format; as `LONGEST_MODEL` of `infer-format.ts` (judgement). */
const LONGEST_LINE = 250
/**
 * Part of a period by which rounds may be off their beat. Judgement: less than one, or a lost round would not
 * show.
 */
const OFF_BEAT_PERIODS = 0.75
/**
 * The same in s, for what an adapter and a busy computer hold back (judgement: less than the 0.4 s of a stalled
 * one, which shows no beat).
 */
const HELD_BACK_S = 0.12

/** Judges bytes that were received with one speed and framing. */
export function signalQuality(chunks: readonly ArrivedBytes[]): SignalQuality {
  const lines: StampedLine[] = []
  let lost = 0
  const assembler = new LineAssembler({
    onLine: (line) => lines.push(line),
    onRejected: ({ code }) => {
      if (code === 'overlong') lost += 1
    },
    dropFirst: true,
  })
  let bytes = 0
  let printable = 0
  let digits = 0
  for (const chunk of chunks) {
    bytes += chunk.bytes.length
    for (const byte of chunk.bytes) {
      if (isPrintable(byte)) printable += 1
      if (byte >= 0x30 && byte <= 0x39) digits += 1
    }
    assembler.push(chunk.bytes, chunk.arrivalS)
  }
  const shapes = lines.map(({ text }) => shapeOf(text))
  const run = longestRun(shapes)
  const periodS = steadyPeriodS(lines.slice(run.from, run.from + run.lines), run.roundLines)
  const printableShare = bytes === 0 ? 0 : printable / bytes
  const all = lines.length + lost
  const readableShare = all === 0 ? 0 : shapes.filter((shape) => shape !== null).length / all
  return {
    bytes,
    printableShare,
    digitShare: bytes === 0 ? 0 : digits / bytes,
    lines: all,
    readableShare,
    lineLength: lines.reduce((sum, { text }) => sum + text.length, 0) / Math.max(1, lines.length),
    runLines: run.lines,
    roundLines: run.roundLines,
    periodS,
    sound:
      run.lines >= fewestLines(run.roundLines) &&
      run.lines >= RUN_SHARE * all &&
      printableShare >= PRINTABLE_SHARE &&
      readableShare >= READABLE_SHARE &&
      periodS !== null,
  }
}

function isPrintable(byte: number): boolean {
  return (byte >= 0x20 && byte < 0x7f) || byte === 0x0d || byte === 0x0a || byte === 0x09
}

const tokenize = lineTokenizer('.', '')

/** The shape of a line, numbers blotted out; null for a line that no readout sends. */
function shapeOf(text: string): string | null {
  if (text.length > LONGEST_LINE || !/\d/.test(text) || !/^[\t\x20-\x7e\xb0\xb5]*$/.test(text)) return null
  return tokenize(text).skeleton
}

function fewestLines(roundLines: number): number {
  return FEWEST_LINES + 2 * (roundLines - 1)
}

interface Run {
  readonly from: number
  readonly lines: number
  readonly roundLines: number
}

/** The longest run of one shape; of a round of shapes only where no shorter round will do. */
function longestRun(shapes: readonly (string | null)[]): Run {
  let best: Run = { from: 0, lines: 0, roundLines: 1 }
  for (let roundLines = 1; roundLines <= MOST_ROUND_LINES; roundLines += 1) {
    const run = longestRunOf(shapes, roundLines)
    if (run.lines >= fewestLines(roundLines) && run.lines >= RUN_SHARE * shapes.length) return run
    if (roundLines === 1) best = run
  }
  return best
}

function longestRunOf(shapes: readonly (string | null)[], roundLines: number): Run {
  let best: Run = { from: 0, lines: 0, roundLines }
  let from = 0
  shapes.forEach((shape, i) => {
    if (shape === null) from = i + 1
    else if (i - roundLines >= from && shapes[i - roundLines] !== shape) from = i - roundLines + 1
    const lines = i + 1 - from
    if (lines > best.lines) best = { from, lines, roundLines }
  })
  return best
}

/** Period of the rounds where they keep a beat: a straight line through their arrivals, misses within limits. */
function steadyPeriodS(lines: readonly StampedLine[], roundLines: number): number | null {
  const timeS = lines.filter((_, i) => i % roundLines === 0).map((line) => line.timeS)
  const n = timeS.length
  if (n < 3) return null
  const middle = (n - 1) / 2
  const meanS = timeS.reduce((sum, one) => sum + one - timeS[0]!, 0) / n
  let sxx = 0
  let sxy = 0
  timeS.forEach((one, i) => {
    sxx += (i - middle) ** 2
    sxy += (i - middle) * (one - timeS[0]! - meanS)
  })
  const periodS = sxy / sxx
  if (!(periodS > 0)) return null
  const allowedS = Math.max(OFF_BEAT_PERIODS * periodS, HELD_BACK_S)
  const onBeat = timeS.every(
    (one, i) => Math.abs(one - timeS[0]! - meanS - periodS * (i - middle)) <= allowedS,
  )
  return onBeat ? periodS : null
}
