import { describe, expect, test } from 'vitest'
import { type IngestedSamples, ingestLines, LineAssembler, type StampedLine } from '../../src/ingest/index.js'
import {
  arrivingChunks,
  INCH_READOUT,
  QUILLFEN_MILL,
  type ReadoutShape,
  readoutLines,
  type SimulatedReadout,
  simulateRun,
  USB_LINK,
} from '../../src/simulation/index.js'

const { motion } = simulateRun(QUILLFEN_MILL, { dial: 5, direction: 1, drivenMm: 120, startMm: 40 }, 17)

/** What the program reads from a readout that watches the same traverse, and what was really shown. */
function observe(changes: Partial<SimulatedReadout>, seed: number, usbBatchS = USB_LINK.usbBatchS) {
  const readout: SimulatedReadout = { ...INCH_READOUT, ...changes }
  const sent = [...readoutLines(motion, readout, seed)]
  const lines: StampedLine[] = []
  let refused = 0
  const assembler = new LineAssembler({
    onLine: (line) => lines.push(line),
    onRejected: () => {
      refused += 1
    },
    dropFirst: readout.faults.startsMidLine === true,
  })
  let endS = 0
  for (const { bytes, arrivalS } of arrivingChunks(sent, { ...USB_LINK, baud: 19_200, usbBatchS }, seed)) {
    assembler.push(bytes, arrivalS)
    endS = arrivalS
  }
  assembler.end(endS)
  const ingested = ingestLines(lines, {
    axis: 'X',
    bareUnit: readout.unit,
    ...(readout.shape.kind === 'counts' ? { countLengthMm: readout.stepMm } : {}),
  })
  return { ingested, sent, refused }
}

/** How many samples show what was sent shortly before they arrived. */
function trueSamples(
  { samples }: IngestedSamples,
  sent: readonly { sampledS: number; shownMm: number }[],
): number {
  let right = 0
  samples.positionMm.forEach((positionMm, i) => {
    const timeS = samples.timeS[i]!
    // Half a step for the rounding to decimals; 0.15 s for wire, batch and delays.
    if (
      sent.some((line) => {
        const lateS = timeS - line.sampledS
        return lateS > -0.02 && lateS < 0.15 && Math.abs(line.shownMm - positionMm) < 0.6 * 0.0254
      })
    )
      right += 1
  })
  return right
}

const SHAPES: readonly ReadoutShape[] = [
  { kind: 'labelled', axis: 'X' },
  { kind: 'labelled', axis: 'X', unitSuffix: true },
  { kind: 'several-axes', axis: 'X', axes: ['X', 'Y', 'Z'] },
  { kind: 'columns', column: 0, columns: 1 },
  { kind: 'columns', column: 1, columns: 3 },
  { kind: 'counts' },
]
const CLOCKS = [
  null,
  { place: 'first', bits: 16, rateError: 0.004, startsAtMs: 60_000 },
  { place: 'last', bits: 32, rateError: -0.004, startsAtMs: 12_345_678 },
] as const

describe('a simulated readout is read whatever it sends', () => {
  const cases = SHAPES.flatMap((shape) => CLOCKS.map((deviceTime) => ({ shape, deviceTime })))
  test.each(cases)('$shape with clock $deviceTime', ({ shape, deviceTime }) => {
    for (const [unit, stepMm] of [
      ['in', 0.0005 * 25.4],
      ['mm', 0.005],
    ] as const) {
      const { ingested, sent } = observe({ shape, deviceTime, unit, stepMm }, 5)
      expect(ingested.rejected).toEqual([])
      expect(ingested.samples.positionMm.length).toBe(sent.length)
      expect(trueSamples(ingested, sent)).toBe(sent.length)
      expect(ingested.positionStepMm).toBeCloseTo(stepMm, 9)
      if (deviceTime === null) expect(ingested.samples.deviceTimeS).toBeNull()
      ingested.samples.deviceTimeS?.forEach((timeS, i, all) => {
        const trueS = sent[i]!.sampledS - sent[0]!.sampledS
        // Whole ms at both ends.
        expect(Math.abs(timeS - all[0]! - trueS * (1 + deviceTime!.rateError))).toBeLessThan(0.0021)
      })
    }
  })

  test.each(SHAPES)('and damaged lines are refused: $kind', (shape) => {
    for (let seed = 1; seed <= 10; seed += 1) {
      const faults = { garbageByteShare: 0.05, droppedLineShare: 0.05, startsMidLine: true }
      const { ingested, sent } = observe({ shape, faults }, seed)
      const { length } = ingested.samples.positionMm
      // A byte in twenty lines; a digit turned into another digit cannot be seen in the line itself.
      expect(length).toBeGreaterThan(0.88 * sent.length)
      expect(trueSamples(ingested, sent)).toBeGreaterThan(0.97 * length)
    }
  })

  test('a fast one through a slow adapter comes out evenly spaced', () => {
    const { ingested, sent } = observe({ refreshHz: 60 }, 3, 0.064)
    const times = Array.from(ingested.samples.timeS)
    expect(times.length).toBe(sent.length)
    expect(times.every((timeS, i) => i === 0 || timeS > times[i - 1]!)).toBe(true)
    const lateS = times.map((timeS, i) => timeS - sent[i]!.sampledS)
    // Four lines a batch, unspread, would scatter by 64 ms from one to the next.
    expect(Math.max(...lateS) - Math.min(...lateS)).toBeLessThan(0.064)
  })

  test('one that is switched to mm midway shows a jump of 25.4, not silence', () => {
    const switchedS = motion.durationS / 2
    const { ingested } = observe({ faults: { unitSwitchedAtS: switchedS } }, 4)
    const { timeS, positionMm } = ingested.samples
    const after = timeS.findIndex((s) => s > switchedS + 0.2)
    const before = timeS.findLastIndex((s) => s < switchedS)
    expect(positionMm[after]! / positionMm[before]!).toBeGreaterThan(25)
    expect(ingested.conclusions.join(' ')).toMatch(
      /change from 4 to 3 decimals: the readout may have been switched/,
    )
    expect(timeS.at(-1)! - motion.durationS).toBeGreaterThan(-0.5)
  })
})
