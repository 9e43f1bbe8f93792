import { ReadlineParser } from '@serialport/parser-readline'
import { interleavedMs, mib, settledHeapBytes } from './measure.js'

const LINES = 200_000
const HEAP_PASSES = 10
/** Heap may wobble by this much between passes without anything being kept. */
const HEAP_SLACK_BYTES = 2 ** 20

/** Bytes to positions against the readline parser alone, on the same chunks; and whether anything is kept. */
export function benchLinePath(pieces) {
  const chunks = recordedChunks(pieces)
  const medians = interleavedMs(
    {
      path: () => expectCount(countPositions(pieces, chunks), LINES * 0.99, 'positions'),
      parser: () => expectCount(countLines(chunks), LINES, 'lines'),
    },
    7,
  )
  const growth = heapGrowth(pieces, chunks)
  return [
    {
      what: 'bytes to positions, lines a second',
      yardstick: 'ReadlineParser alone',
      measured: rate(medians.path),
      reference: rate(medians.parser),
      ratio: medians.parser / medians.path,
      limit: 1 / 3,
      atLeast: true,
    },
    {
      what: `heap grown over ${HEAP_PASSES} × ${LINES} lines`,
      yardstick: 'slack allowed',
      measured: mib(growth),
      reference: mib(HEAP_SLACK_BYTES),
      ratio: growth / HEAP_SLACK_BYTES,
      limit: 1,
    },
  ]
}

function recordedChunks({
  QUILLFEN_MILL,
  INCH_READOUT,
  simulateRun,
  readoutLines,
  arrivingChunks,
  USB_LINK,
}) {
  const refreshHz = 50
  const mill = { ...QUILLFEN_MILL, travelMm: 1e5 }
  const run = simulateRun(
    mill,
    { dial: 2, direction: 1, drivenMm: 1e5, longestS: LINES / refreshHz + 10, restBeforeS: 1 },
    1,
  )
  const lines = []
  for (const line of readoutLines(run.motion, { ...INCH_READOUT, refreshHz }, 2)) {
    lines.push(line)
    if (lines.length === LINES) break
  }
  return [...arrivingChunks(lines, USB_LINK, 3)]
}

function startPath({ LineAssembler, SampleReader }) {
  let positions = 0
  const reader = new SampleReader(
    { axis: 'X', bareUnit: 'in' },
    {
      onSample: () => {
        positions += 1
      },
      onRejected: () => {},
    },
  )
  const assembler = new LineAssembler({
    onLine: (line) => reader.feed(line),
    onRejected: () => {},
    dropFirst: true,
  })
  return { assembler, reader, positions: () => positions }
}

function countPositions(pieces, chunks) {
  const path = startPath(pieces)
  for (const { bytes, arrivalS } of chunks) path.assembler.push(bytes, arrivalS)
  path.assembler.end(chunks.at(-1).arrivalS)
  path.reader.end()
  return path.positions()
}

function countLines(chunks) {
  let lines = 0
  const parser = new ReadlineParser({ delimiter: '\r\n', encoding: 'latin1' })
  parser.on('data', () => {
    lines += 1
  })
  for (const { bytes } of chunks) parser.write(bytes)
  return lines
}

/** One opening that goes on for many passes, as a readout left on all day. */
function heapGrowth(pieces, chunks) {
  const path = startPath(pieces)
  const lengthS = chunks.at(-1).arrivalS + 1
  const pass = (number) => {
    for (const { bytes, arrivalS } of chunks) path.assembler.push(bytes, arrivalS + number * lengthS)
  }
  pass(0)
  const before = settledHeapBytes()
  for (let number = 1; number < HEAP_PASSES; number += 1) pass(number)
  const growth = Math.max(0, settledHeapBytes() - before)
  expectCount(path.positions(), HEAP_PASSES * LINES * 0.99, 'positions')
  return growth
}

function expectCount(got, least, what) {
  if (got < least) throw new Error(`only ${got} ${what} came through, ${least} were expected`)
}

function rate(milliseconds) {
  return `${Math.round(LINES / milliseconds)} k/s`
}
