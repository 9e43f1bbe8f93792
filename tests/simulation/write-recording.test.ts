import { describe, expect, test } from 'vitest'
import { LineAssembler, type StampedLine } from '../../src/ingest/index.js'
import {
  arrivingChunks,
  csvRecording,
  INCH_READOUT,
  jsonlRecording,
  QUILLFEN_MILL,
  readoutLines,
  type SimulatedReadout,
  simulateRun,
  stampedLines,
  USB_LINK,
} from '../../src/simulation/index.js'

const { motion, truth } = simulateRun(QUILLFEN_MILL, { dial: 6, direction: 1, drivenMm: 60 }, 2)

const linesOf = (change: Partial<SimulatedReadout>) => [
  ...readoutLines(motion, { ...INCH_READOUT, ...change }, 9),
]

describe('recordings', () => {
  test('stampedLines(chunks) gives the lines and times that the program makes of the same chunks', () => {
    for (const terminator of ['\r\n', '\n', '\r'] as const) {
      const chunks = [...arrivingChunks(linesOf({ terminator, refreshHz: 50 }), USB_LINK, 1)]
      const assembled: StampedLine[] = []
      const assembler = new LineAssembler({
        onLine: (line) => assembled.push(line),
        onRejected: () => {},
        dropFirst: false,
      })
      for (const { bytes, arrivalS } of chunks) assembler.push(bytes, arrivalS)
      const texts = [...stampedLines(chunks)]
      expect(assembled.map(({ text }) => text)).toEqual(texts.map(({ text }) => text))
      if (terminator !== '\r\n') continue
      // The assembler ends a line at its return, the recording at its line feed: at most one batch later.
      texts.forEach(({ timeS }, index) => {
        expect(timeS - assembled[index]!.timeS).toBeGreaterThanOrEqual(0)
        expect(timeS - assembled[index]!.timeS).toBeLessThan(2 * USB_LINK.usbBatchS)
      })
    }
  })

  test('jsonlRecording(chunks) keeps every byte of every line, garbage too', () => {
    const lines = linesOf({ faults: { garbageByteShare: 0.5 } })
    const rows = jsonlRecording(arrivingChunks(lines, USB_LINK, 1))
      .trimEnd()
      .split('\n')
      .map((row) => JSON.parse(row) as { t: number; line: string })
    expect(rows.map(({ line }) => Buffer.from(`${line}\r\n`, 'latin1'))).toEqual(
      lines.map(({ bytes }) => bytes),
    )
    expect(rows.every(({ t }) => Number.isFinite(t))).toBe(true)
  })

  test('csvRecording(lines, unit) has a header and the position shown', () => {
    const rows = csvRecording(linesOf({}), 'mm', 'position_mm').trimEnd().split('\n')
    expect(rows[0]).toBe('t,position_mm')
    const [t, position] = rows.at(-1)!.split(',').map(Number)
    expect(position).toBeCloseTo(motion.positionMmAt(t!), 2)
  })

  test('the slope of a recording over its steady part is the true feed of the run (0.05 %)', () => {
    const { steadyFromS, driveOffS } = truth.phases!
    const kept = [...stampedLines(arrivingChunks(linesOf({ refreshHz: 50 }), USB_LINK, 1))].filter(
      ({ timeS }) => timeS > steadyFromS + 0.3 && timeS < driveOffS - 0.1,
    )
    const times = kept.map(({ timeS }) => timeS)
    const positions = kept.map(({ text }) => Number(text.slice(1)) * 25.4)
    const meanT = times.reduce((a, b) => a + b, 0) / times.length
    const slope =
      times.reduce((sum, t, i) => sum + (t - meanT) * positions[i]!, 0) /
      times.reduce((sum, t) => sum + (t - meanT) ** 2, 0)
    expect(Math.abs((slope * 60) / truth.runFeedMmPerMin - 1)).toBeLessThan(5e-4)
  })
})
