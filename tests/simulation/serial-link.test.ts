import { describe, expect, test } from 'vitest'
import {
  arrivingChunks,
  INCH_READOUT,
  QUILLFEN_MILL,
  readoutLines,
  type SimulatedReadout,
  simulateRun,
  stampedLines,
  USB_LINK,
} from '../../src/simulation/index.js'

const { motion } = simulateRun(QUILLFEN_MILL, { dial: 6, direction: 1, drivenMm: 60 }, 2)

const linesOf = (change: Partial<SimulatedReadout>) => [
  ...readoutLines(motion, { ...INCH_READOUT, ...change }, 9),
]

describe('arrivingChunks(lines, link, seed)', () => {
  for (const usbBatchS of [0, 0.016, 0.1]) {
    for (const terminator of ['\r\n', '\n', '\r'] as const) {
      test(`hands over every byte once, in order, with batches of ${usbBatchS} s and ${JSON.stringify(terminator)}`, () => {
        const lines = linesOf({ terminator, refreshHz: 50 })
        const chunks = [...arrivingChunks(lines, { ...USB_LINK, usbBatchS }, 1)]
        expect(Buffer.concat(chunks.map(({ bytes }) => bytes))).toEqual(
          Buffer.concat(lines.map(({ bytes }) => bytes)),
        )
        for (let index = 1; index < chunks.length; index += 1) {
          expect(chunks[index]!.arrivalS).toBeGreaterThan(chunks[index - 1]!.arrivalS)
        }
        const stamped = [...stampedLines(chunks)]
        expect(stamped.map(({ text }) => text)).toEqual(
          lines.map(({ bytes }) => bytes.toString('latin1').replace(/[\r\n]+$/, '')),
        )
        stamped.forEach(({ timeS }, index) => {
          const sampledS = lines[index]!.sampledS
          expect(timeS).toBeGreaterThan(sampledS)
          expect(timeS - sampledS).toBeLessThan(usbBatchS + 0.06)
        })
      })
    }
  }

  test('cuts lines where the timer runs out', () => {
    const chunks = [...arrivingChunks(linesOf({ refreshHz: 50 }), USB_LINK, 1)]
    expect(chunks.some(({ bytes }) => !bytes.toString('latin1').endsWith('\r\n'))).toBe(true)
  })

  test('repeats for the same seed', () => {
    const chunksOf = (seed: number) => [...arrivingChunks(linesOf({}), USB_LINK, seed)]
    expect(chunksOf(4)).toEqual(chunksOf(4))
    expect(chunksOf(5)).not.toEqual(chunksOf(4))
  })
})
