import { describe, expect, it } from 'vitest'
import { ingestLines, LineAssembler, type StampedLine } from '../../../src/ingest/index.js'
import { judgeReadoutTakes } from '../../../src/jobs/record/judge-takes.js'
import {
  type ArrivedChunk,
  arrivingChunks,
  QUILLFEN_MILL,
  type ReadoutFaults,
  readoutLines,
  type SentLine,
  type SimulatedReadout,
  seededRandom,
  simulateRun,
  USB_LINK,
} from '../../../src/simulation/index.js'

/** Feed accepted within this share of the truth; anything further off must not be accepted. */
const WITHIN = 0.01

interface Fault {
  readonly name: string
  readonly expected: 'accepted' | readonly string[]
  readonly faults?: ReadoutFaults
  readonly readout?: Partial<SimulatedReadout>
  readonly lines?: (lines: SentLine[]) => SentLine[]
  readonly chunks?: (chunks: ArrivedChunk[]) => ArrivedChunk[]
}

const at = (lines: readonly SentLine[], share: number): number =>
  lines[Math.floor(share * lines.length)]!.sampledS
const retext = (line: SentLine, text: string): SentLine => ({ ...line, bytes: Buffer.from(text, 'latin1') })

/** Lines between two shares of the run, changed. */
function between(from: number, to: number, change: (line: SentLine) => SentLine) {
  return (lines: SentLine[]): SentLine[] =>
    lines.map((line, i) => (i >= from * lines.length && i < to * lines.length ? change(line) : line))
}

/** Writes every line with these decimals instead of four. */
const decimals =
  (digits: number) =>
  (line: SentLine): SentLine =>
    retext(
      line,
      line.bytes.toString('latin1').replace(/[\d.]+/, (number) =>
        Number(number)
          .toFixed(digits)
          .padStart(4 + digits, '0'),
      ),
    )

const random = seededRandom(5)
const garbage = (length: number): Buffer =>
  Buffer.from(Array.from({ length }, () => Math.floor(256 * random.uniform())))

/** What a line that was sent as 7E1 looks like when it is read as 8N1. */
const evenParity = (byte: number): number => {
  let ones = 0
  for (let rest = byte; rest > 0; rest >>= 1) ones += rest & 1
  return ones % 2 === 0 ? byte : byte | 0x80
}

const FAULTS: readonly Fault[] = [
  { name: 'nothing wrong', expected: 'accepted' },
  { name: 'CR alone ends the lines', expected: 'accepted', readout: { terminator: '\r' } },
  { name: 'LF alone ends the lines', expected: 'accepted', readout: { terminator: '\n' } },
  {
    name: 'no line end at all',
    expected: ['no-usable-lines'],
    lines: between(0, 1, (line) => retext(line, line.bytes.toString('latin1').trimEnd())),
  },
  { name: 'a half line at the start', expected: 'accepted', faults: { startsMidLine: true } },
  {
    name: 'a half line at the end',
    expected: 'accepted',
    chunks: (chunks) => [
      ...chunks.slice(0, -1),
      { ...chunks.at(-1)!, bytes: chunks.at(-1)!.bytes.subarray(0, 3) },
    ],
  },
  {
    name: 'bursts of garbage between the lines',
    expected: 'accepted',
    chunks: (chunks) =>
      chunks.map((chunk, i) =>
        i % 40 === 20 ? { ...chunk, bytes: Buffer.concat([garbage(60), chunk.bytes]) } : chunk,
      ),
  },
  { name: 'every twentieth line has a wrong byte', expected: 'accepted', faults: { garbageByteShare: 0.05 } },
  {
    name: 'nothing but garbage, as a wrong baud rate gives it',
    expected: ['no-usable-lines', 'no-common-shape', 'no-column-moves', 'comma-ambiguous', 'no run'],
    chunks: (chunks) => chunks.map((chunk) => ({ ...chunk, bytes: garbage(chunk.bytes.length) })),
  },
  {
    name: 'a parity bit on every byte',
    expected: ['no-usable-lines', 'no-common-shape', 'no-column-moves'],
    chunks: (chunks) =>
      chunks.map((chunk) => ({ ...chunk, bytes: Buffer.from(chunk.bytes.map(evenParity)) })),
  },
  { name: 'a tenth of the lines is lost', expected: 'accepted', faults: { droppedLineShare: 0.1 } },
  {
    name: 'readings jump away and back',
    expected: 'accepted',
    faults: { outlierShare: 0.02, outlierMm: 12 },
  },
  {
    name: 'batches of 200 ms hold several lines',
    expected: 'accepted',
    readout: { refreshHz: 40 },
    chunks: (chunks) => batched(chunks, 0.2),
  },
  { name: 'silent for 2 s midway', expected: 'accepted', faults: { silentS: [8, 10] } },
  { name: 'zeroed midway', expected: ['zeroed-midway'], faults: { zeroedAtS: 8 } },
  ...[0.15, 0.5, 0.9].map((share) => ({
    name: `switched between inch and mm at ${share} of the run`,
    expected: ['unit-switched'] as const,
    faults: { unitSwitchedAtS: share },
  })),
  {
    name: 'shows the same value for 1 s while the table moves, then goes on where it is',
    expected: ['stopped-midway', 'slipped'],
    lines: (lines) => {
      const from = at(lines, 0.5)
      const frozen = lines.find((line) => line.sampledS >= from)!
      return lines.map((line) =>
        line.sampledS >= from && line.sampledS < from + 1
          ? retext(line, frozen.bytes.toString('latin1'))
          : line,
      )
    },
  },
  {
    name: 'freezes for good while the table moves',
    expected: ['stopped-midway', 'no-steady-part', 'accepted'],
    lines: (lines) => {
      const frozen = lines[Math.floor(0.5 * lines.length)]!
      return lines.map((line) =>
        line.sampledS >= frozen.sampledS ? retext(line, frozen.bytes.toString('latin1')) : line,
      )
    },
  },
  {
    name: 'the decimals change midway, the unit stays',
    expected: 'accepted',
    lines: between(0.5, 1, decimals(3)),
  },
  {
    name: 'the decimals change for a few lines',
    expected: 'accepted',
    lines: between(0.5, 0.52, decimals(3)),
  },
  {
    name: 'the computer slept for 2 s and its monotonic clock with it',
    expected: ['slipped', 'zeroed-midway'],
    chunks: (chunks) => {
      const from = chunks[Math.floor(chunks.length / 2)]!.arrivalS
      return chunks
        .filter(({ arrivalS }) => arrivalS < from || arrivalS >= from + 2)
        .map((chunk) => (chunk.arrivalS < from ? chunk : { ...chunk, arrivalS: chunk.arrivalS - 2 }))
    },
  },
  {
    name: 'the lines of 2 s come at once',
    expected: ['accepted', 'slipped'],
    chunks: (chunks) => {
      const from = chunks[Math.floor(chunks.length / 2)]!.arrivalS
      return batchedBetween(chunks, from, from + 2)
    },
  },
]

/** All bytes of a stretch arrive at its end. */
function batchedBetween(chunks: readonly ArrivedChunk[], fromS: number, toS: number): ArrivedChunk[] {
  const held = chunks.filter(({ arrivalS }) => arrivalS >= fromS && arrivalS < toS)
  return [
    ...chunks.filter(({ arrivalS }) => arrivalS < fromS),
    { bytes: Buffer.concat(held.map(({ bytes }) => bytes)), arrivalS: toS },
    ...chunks.filter(({ arrivalS }) => arrivalS >= toS),
  ]
}

function batched(chunks: readonly ArrivedChunk[], everyS: number): ArrivedChunk[] {
  const batches = new Map<number, Buffer[]>()
  for (const { bytes, arrivalS } of chunks) {
    const batch = Math.ceil(arrivalS / everyS)
    batches.set(batch, [...(batches.get(batch) ?? []), bytes])
  }
  return [...batches].map(([batch, parts]) => ({ bytes: Buffer.concat(parts), arrivalS: batch * everyS }))
}

const READOUT: SimulatedReadout = {
  shape: { kind: 'labelled', axis: 'X' },
  unit: 'in',
  stepMm: 0.0002 * 25.4,
  refreshHz: 20,
  deviceTime: null,
  terminator: '\r\n',
  faults: {},
}

/** One run with a fault, as a live port (format decided early) or a recording (decided late) would have it. */
function outcomeOf(fault: Fault, seed: number, decideAfter: number) {
  const { motion, truth } = simulateRun(
    QUILLFEN_MILL,
    { dial: 6, direction: 1, drivenMm: (QUILLFEN_MILL.curve(6) * 15) / 60, startMm: 40 },
    seed,
  )
  const share = fault.faults?.unitSwitchedAtS
  // Within the motion, whose rests take about 2 s on either side.
  const faults = share === undefined ? fault.faults : { unitSwitchedAtS: 2.5 + share * 14 }
  const sent = [...readoutLines(motion, { ...READOUT, ...fault.readout, faults: faults ?? {} }, seed)]
  const arrived = [...arrivingChunks(fault.lines?.(sent) ?? sent, { ...USB_LINK, baud: 115_200 }, seed)]
  const lines: StampedLine[] = []
  const assembler = new LineAssembler({
    onLine: (line) => lines.push(line),
    onRejected: () => {},
    dropFirst: true,
  })
  for (const { bytes, arrivalS } of fault.chunks?.(arrived) ?? arrived) assembler.push(bytes, arrivalS)
  assembler.end(1000)
  const samples = ingestLines(lines, { axis: 'X', bareUnit: 'in', decideAfter })
  const runs = judgeReadoutTakes([samples], QUILLFEN_MILL)[0]!
  return runs.map((run) =>
    run.feed === null
      ? run.rejection!.code
      : Math.abs(run.feed.feedMmPerMin / truth.runFeedMmPerMin - 1) <= WITHIN
        ? 'accepted'
        : `a wrong feed, ${run.feed.feedMmPerMin} for ${truth.runFeedMmPerMin}`,
  )
}

function outcomesOf(fault: Fault, seed: number, decideAfter: number): readonly string[] {
  try {
    return outcomeOf(fault, seed, decideAfter)
  } catch (error) {
    return [(error as { code?: string }).code ?? String(error)]
  }
}

describe.each([
  ['a live port, its format decided after a second', 20],
  ['a recording, its format decided from 5000 lines', 5000],
])('%s', (_, decideAfter) => {
  it.each(FAULTS.map((fault) => [fault.name, fault] as const))('%s', (_name, fault) => {
    const allowed = fault.expected === 'accepted' ? ['accepted'] : fault.expected
    for (const seed of [1, 2, 3]) {
      const outcomes = outcomesOf(fault, seed, decideAfter)
      expect(outcomes.length > 0 || allowed.includes('no run'), `seed ${seed}`).toBe(true)
      for (const outcome of outcomes) expect(allowed, `seed ${seed}: ${outcomes}`).toContain(outcome)
    }
  })
})
