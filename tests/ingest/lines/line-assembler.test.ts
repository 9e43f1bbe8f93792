import { ReadlineParser } from '@serialport/parser-readline'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  LineAssembler,
  LONGEST_LINE_BYTES,
  type RejectedLine,
  type StampedLine,
} from '../../../src/ingest/index.js'

/** Runs chunks through a new assembler; chunk i arrives at i seconds. */
function assemble(chunks: readonly (string | Buffer)[], dropFirst = false) {
  const lines: StampedLine[] = []
  const rejected: RejectedLine[] = []
  const assembler = new LineAssembler({
    onLine: (line) => lines.push(line),
    onRejected: (one) => rejected.push(one),
    dropFirst,
  })
  chunks.forEach((chunk, i) => {
    assembler.push(typeof chunk === 'string' ? Buffer.from(chunk, 'latin1') : chunk, i)
  })
  assembler.end(chunks.length)
  return { lines, rejected, texts: lines.map((line) => line.text), codes: rejected.map((one) => one.code) }
}

const STREAM = 'X+001.500\r\nX-002.250\r\rX+003.000\n\nX+004.125\n'

describe('LineAssembler', () => {
  test('gives the same lines wherever the bytes are split in two', () => {
    for (let at = 0; at <= STREAM.length; at += 1) {
      const { texts, codes } = assemble([STREAM.slice(0, at), STREAM.slice(at)])
      expect(texts, `split at ${at}`).toEqual(['X+001.500', 'X-002.250', 'X+003.000', 'X+004.125'])
      expect(codes, `split at ${at}`).toEqual(['blank', 'blank'])
    }
  })

  test('gives the same lines when every byte comes alone, each stamped with its terminator', () => {
    const { lines } = assemble([...'1.0\r\n2.0\n'])
    // The CR is enough: its LF comes a chunk later and ends no line of its own.
    expect(lines).toEqual([
      { timeS: 3, text: '1.0' },
      { timeS: 8, text: '2.0' },
    ])
  })

  test('hands out lines before push() returns, in order and with the chunk that completed them', () => {
    const { lines } = assemble(['1.0\n2', '.0\n3.0\n', '4.0'])
    expect(lines).toEqual([
      { timeS: 0, text: '1.0' },
      { timeS: 1, text: '2.0' },
      { timeS: 1, text: '3.0' },
    ])
  })

  test.each(['\r', '\n', '\r\n'])('takes %j as one terminator', (end) => {
    const { texts, codes } = assemble([`1.0${end}2.0${end}`])
    expect(texts).toEqual(['1.0', '2.0'])
    expect(codes).toEqual([])
  })

  test('finds the lines in any mix of terminators and chunks', () => {
    const line = fc.string({ unit: fc.constantFrom(...'X+-0123456789. \u00b5'), minLength: 1, maxLength: 12 })
    const visible = line.filter((text) => text.trim() !== '' && !text.includes('\n'))
    fc.assert(
      fc.property(
        fc.array(fc.tuple(visible, fc.constantFrom('\r', '\n', '\r\n'))),
        fc.array(fc.integer({ min: 1, max: 9 }), { minLength: 1 }),
        (sent, sizes) => {
          const bytes = Buffer.from(sent.map(([text, end]) => text + end).join(''), 'latin1')
          const chunks: Buffer[] = []
          for (let at = 0, k = 0; at < bytes.length; k += 1) {
            const size = sizes[k % sizes.length]!
            chunks.push(bytes.subarray(at, at + size))
            at += size
          }
          expect(assemble(chunks).texts).toEqual(sent.map(([text]) => text))
        },
      ),
      { seed: 11, numRuns: 300 },
    )
  })

  test('refuses the unterminated tail, which the readline parser alone would hand out', async () => {
    const { texts, codes } = assemble(['1.0\n12.34'])
    expect(texts).toEqual(['1.0'])
    expect(codes).toEqual(['partial'])

    const alone: string[] = []
    const parser = new ReadlineParser({ readableObjectMode: true })
    parser.on('data', (text: string) => alone.push(text))
    parser.write('1.0\n12.34')
    parser.end()
    await new Promise((resolve) => parser.on('end', resolve))
    expect(alone).toEqual(['1.0', '12.34'])
  })

  test('drops the first line of a source that was opened midway', () => {
    const { texts, codes } = assemble(['.345\n', '12.346\n'], true)
    expect(texts).toEqual(['12.346'])
    expect(codes).toEqual(['partial'])
  })

  test('keeps every byte as latin1, for the raw record', () => {
    const { texts } = assemble([Buffer.from([0x31, 0xb5, 0x00, 0xff, 0x0a])])
    expect(texts).toEqual(['1\u00b5\u0000\u00ff'])
  })

  test('keeps a line of 4 KiB and drops a longer one up to its terminator', () => {
    const longest = 'x'.repeat(LONGEST_LINE_BYTES)
    const { texts, rejected } = assemble(['1.0\n', `${longest}\n${longest}`, 'x', 'yy\r\n2.0\n'])
    expect(texts).toEqual(['1.0', longest, '2.0'])
    expect(rejected).toEqual([{ timeS: 2, code: 'overlong' }])
  })

  test('keeps lines that stand before and after an over-long one in the same chunk', () => {
    const { texts, codes } = assemble([`1.0\n${'x'.repeat(5000)}\n2.0\n${'x'.repeat(9000)}`, 'x\n3.0\n'])
    expect(texts).toEqual(['1.0', '2.0', '3.0'])
    expect(codes).toEqual(['overlong', 'overlong'])
  })

  test('drops the first partial line also where an over-long one follows in its chunk', () => {
    const texts: string[] = []
    const assembler = new LineAssembler({
      onLine: (line) => texts.push(line.text),
      onRejected: () => {},
      dropFirst: true,
    })
    assembler.push(Buffer.from(`0.5\n${'x'.repeat(9000)}`), 1)
    assembler.push(Buffer.from('\n2.0\n'), 2)
    expect(texts).toEqual(['2.0'])
  })

  test('swallows 10 MB without a terminator in flat memory, and reads on', () => {
    const rejected: RejectedLine[] = []
    const texts: string[] = []
    const assembler = new LineAssembler({
      onLine: (line) => texts.push(line.text),
      onRejected: (one) => rejected.push(one),
      dropFirst: false,
    })
    const chunk = Buffer.alloc(64, 'A')
    const before = process.memoryUsage().arrayBuffers
    for (let i = 0; i < 10_000_000 / chunk.length; i += 1) assembler.push(chunk, i)
    const grown = process.memoryUsage().arrayBuffers - before
    assembler.push(Buffer.from('\n12.345\n'), 0)
    expect(rejected.map((one) => one.code)).toEqual(['overlong'])
    expect(texts).toEqual(['12.345'])
    // Kept bytes would be 10 MB; pooled buffers awaiting collection stay well below.
    expect(grown).toBeLessThan(30_000_000)
  })
})
