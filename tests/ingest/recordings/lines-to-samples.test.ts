import { describe, expect, test } from 'vitest'
import {
  type IngestOptions,
  ingestLines,
  type RejectedLine,
  type Sample,
  SampleReader,
  type StampedLine,
} from '../../../src/ingest/index.js'

const OPTIONS: IngestOptions = { axis: 'x', bareUnit: 'mm' }

/** Lines `n` at 10 a second, moving by 0.25 mm each, `X+000.000`. */
function steady(count: number, fromS = 0): StampedLine[] {
  return Array.from({ length: count }, (_, i) => ({
    timeS: fromS + i / 10,
    text: `X+${(i / 4).toFixed(3).padStart(7, '0')}`,
  }))
}

const codes = (rejected: readonly RejectedLine[]) => rejected.map((one) => one.code)

describe('ingestLines(lines, options)', () => {
  test('gives time and position of every line, at any time origin', () => {
    for (const originS of [0, 1.7e9]) {
      const { samples, linesRead, rejected } = ingestLines(steady(50, originS), OPTIONS)
      expect(linesRead).toBe(50)
      expect(rejected).toEqual([])
      expect(Array.from(samples.positionMm)).toEqual(Array.from({ length: 50 }, (_, i) => i / 4))
      expect(Array.from(samples.timeS)).toEqual(Array.from({ length: 50 }, (_, i) => originS + i / 10))
      expect(samples.deviceTimeS).toBeNull()
    }
  })

  test('counts each damaged line by its code and keeps the rest', () => {
    const lines = steady(60)
    const damage = ['', 'X+001.2', 'X+00\u00001.250', 'XNaN', 'x'.repeat(5000)]
    damage.forEach((text, i) => {
      lines[10 * i + 5] = { timeS: lines[10 * i + 5]!.timeS, text }
    })
    const { samples, linesRead, rejected } = ingestLines(lines, OPTIONS)
    expect(codes(rejected)).toEqual(['blank', 'garbled', 'control-bytes', 'not-finite', 'overlong'])
    expect([samples.timeS.length, linesRead]).toEqual([55, 60])
  })

  test('refuses a line whose time runs backward', () => {
    const lines = steady(40)
    lines[20] = { ...lines[20]!, timeS: 0.5 }
    const { samples, rejected } = ingestLines(lines, OPTIONS)
    expect(rejected).toEqual([{ timeS: 0.5, code: 'time-backward' }])
    expect(samples.timeS.length).toBe(39)
  })

  test('drops one stamp far ahead instead of all that follow it', () => {
    const lines = steady(40)
    lines[20] = { ...lines[20]!, timeS: 900 }
    const { samples, rejected } = ingestLines(lines, OPTIONS)
    expect(rejected).toEqual([{ timeS: 900, code: 'time-backward' }])
    expect(samples.timeS.length).toBe(39)
  })

  test('spreads lines that arrived together over the gap before them', () => {
    // A line every 4 ms, handed over every 16 ms (the latency timer of common USB adapters).
    const lines = steady(400).map((line, i) => ({ ...line, timeS: (Math.floor(i / 4) + 1) * 0.016 }))
    const { samples } = ingestLines(lines, OPTIONS)
    samples.timeS.forEach((timeS, i) => {
      expect(timeS).toBeCloseTo((i + 1) * 0.004, 9)
    })
  })

  test('does not spread a batch wider than the usual period, nor past the arrival before', () => {
    const lines = steady(100)
    const late = lines.map((line, i) => (i >= 50 ? { ...line, timeS: line.timeS + 60 } : line))
    for (const i of [50, 51]) late[i] = { ...late[i]!, timeS: late[52]!.timeS }
    const { samples } = ingestLines(late, OPTIONS)
    const batchS = Array.from(samples.timeS.slice(50, 53))
    expect(batchS.map((timeS) => timeS - batchS[2]!)).toEqual([
      expect.closeTo(-0.2, 9),
      expect.closeTo(-0.1, 9),
      0,
    ])

    const stalled = lines
      .map((line, i) => (i >= 40 && i < 60 ? { ...line, timeS: 4.5 } : line))
      .filter((_, i) => i < 60)
    const times = Array.from(ingestLines(stalled, OPTIONS).samples.timeS)
    expect(times.every((timeS, i) => i === 0 || timeS > times[i - 1]!)).toBe(true)
  })

  test.each([
    [16, 2 ** 16],
    [32, 2 ** 32],
  ])('unwraps a clock of %i bit', (_, modulus) => {
    const lines = Array.from({ length: 400 }, (_, i) => ({
      timeS: 1000 + i / 2,
      text: `${(modulus - 60_000 + 500 * i) % modulus} ${(i / 4).toFixed(3)}`,
    }))
    const device = ingestLines(lines, OPTIONS).samples.deviceTimeS!
    device.forEach((timeS, i) => {
      expect(timeS - device[0]!).toBeCloseTo(i / 2, 6)
    })
  })

  test('finds how often a 16-bit clock came round while nothing was sent', () => {
    const at = (s: number) => ({ timeS: s, text: `${Math.round(1000 * s) % 65536} ${(s / 4).toFixed(3)}` })
    const early = Array.from({ length: 700 }, (_, i) => at(i / 10))
    const late = Array.from({ length: 50 }, (_, i) => at(300 + i / 10))
    const device = ingestLines([...early, ...late], OPTIONS).samples.deviceTimeS!
    expect(device.at(-1)! - device[0]!).toBeCloseTo(304.9, 6)
  })

  test('leaves out a clock that was set anew midway, and says so', () => {
    const lines = Array.from({ length: 300 }, (_, i) => ({
      timeS: i / 10,
      text: `${(i / 4).toFixed(3)} ${(i < 200 ? 100_000 : 0) + 100 * i}`,
    }))
    const { samples, rejected, conclusions } = ingestLines(lines, OPTIONS)
    expect(samples.deviceTimeS).toBeNull()
    // The first line after the jump may have been damage; the second one confirms it.
    expect(rejected.length).toBe(1)
    expect(conclusions.at(-1)).toMatch(/own clock jumped at 20\.1 s, so the arrival times are used/)
  })

  test('refuses a line whose clock alone is damaged', () => {
    const lines = Array.from({ length: 100 }, (_, i) => ({
      timeS: i / 10,
      text: `${(i / 4).toFixed(3)} ${i === 50 ? 105 : 100_000 + 100 * i}`,
    }))
    const { samples, rejected } = ingestLines(lines, OPTIONS)
    expect(rejected).toEqual([{ timeS: 5, code: 'garbled' }])
    expect(samples.timeS.length).toBe(99)
  })
})

describe('positionStepMm', () => {
  const step = (texts: string[], options: Partial<IngestOptions> = {}) =>
    ingestLines(
      texts.map((text, i) => ({ timeS: i / 10, text })),
      { ...OPTIONS, ...options },
    ).positionStepMm
  // A repeatable scatter of whole steps over 60 mm, as a fast traverse shows it.
  const steps = Array.from({ length: 400 }, (_, i) => (i * 7919) % 12_000)

  test('is the last digit where that is what changes', () => {
    expect(step(steps.map((n) => (n * 0.001).toFixed(3)))).toBeCloseTo(0.001, 9)
    expect(
      step(
        steps.map((n) => (n * 0.001).toFixed(3)),
        { bareUnit: 'in' },
      ),
    ).toBeCloseTo(0.0254, 9)
  })

  test('is the multiple of it that the scale moves by', () => {
    expect(step(steps.map((n) => (n * 0.005).toFixed(3)))).toBeCloseTo(0.005, 9)
    expect(
      step(
        steps.map((n) => `${n}`),
        { countLengthMm: 0.005 },
      ),
    ).toBeCloseTo(0.005, 9)
  })

  test('is that of the scale even where a metric one is shown in inches', () => {
    const shown = steps.map((n) => ((n * 0.005) / 25.4).toFixed(5))
    expect(step(shown, { bareUnit: 'in' })).toBeCloseTo(0.005, 9)
  })

  test('is not mistaken for the even spacing of a steady traverse', () => {
    expect(step(Array.from({ length: 200 }, (_, i) => (i * 0.3337).toFixed(3)))).toBeCloseTo(0.001, 9)
  })
})

describe('SampleReader', () => {
  function reader(options: Partial<IngestOptions> = {}) {
    const samples: Sample[] = []
    const rejected: RejectedLine[] = []
    const it = new SampleReader(
      { ...OPTIONS, ...options },
      { onSample: (sample) => samples.push(sample), onRejected: (one) => rejected.push(one) },
    )
    return { it, samples, rejected }
  }

  test('keeps lines until the format is decided and then hands out all of them', () => {
    const { it, samples } = reader()
    const lines = steady(30)
    for (const line of lines.slice(0, 19)) it.feed(line)
    expect([it.format, samples.length]).toEqual([null, 0])
    it.feed(lines[19]!)
    // The last line waits for the next arrival, which shows that its batch is complete.
    expect(samples.length).toBe(19)
    for (const line of lines.slice(20)) it.feed(line)
    it.end()
    expect(samples.map((sample) => sample.timeS)).toEqual(lines.map((line) => line.timeS))
  })

  test('waits through a rest until it shows which column moves', () => {
    const { it, samples } = reader()
    const text = (v: number) => `5.000 ${v.toFixed(3)} 1.000`
    for (let i = 0; i < 200; i += 1) it.feed({ timeS: i / 10, text: text(2) })
    expect(it.format).toBeNull()
    for (let i = 200; i < 300; i += 1) it.feed({ timeS: i / 10, text: text(2 + (i - 199) / 4) })
    it.end()
    expect(samples.length).toBe(300)
    expect(samples.at(-1)!.positionMm).toBe(27)
  })

  test('finds a clock among lines that were held back for a second', () => {
    const lines = Array.from({ length: 300 }, (_, i) => ({
      timeS: Math.floor(i / 10) + 1,
      text: `${5000 + 100 * i} ${(i / 4).toFixed(3)}`,
    }))
    expect(ingestLines(lines, OPTIONS).samples.deviceTimeS?.[299]).toBeCloseTo(34.9, 9)
  })

  test('takes no clock for the moving column, however fast the first lines come', () => {
    const { it, samples } = reader()
    for (let i = 0; i < 300; i += 1) {
      it.feed({ timeS: i / 200, text: `${1000 + 5 * i} ${(2 + Math.max(0, i - 250) / 4).toFixed(3)} 5.000` })
    }
    it.end()
    expect(samples.at(-1)).toEqual({
      timeS: 299 / 200,
      positionMm: 14.25,
      deviceTimeS: expect.closeTo(2.495, 12),
      lineBytes: 17,
    })
  })

  test('gives the same samples as ingestLines', () => {
    const lines = steady(300).map((line, i) =>
      i % 17 === 5 ? { ...line, text: line.text.slice(0, 6) } : line,
    )
    const { it, samples, rejected } = reader()
    for (const line of lines) it.feed(line)
    it.end()
    const whole = ingestLines(lines, OPTIONS)
    expect(samples.map((sample) => sample.positionMm)).toEqual(Array.from(whole.samples.positionMm))
    expect(rejected).toEqual(whole.rejected)
  })

  test('says in the end why not one line could be read', () => {
    const { it } = reader()
    for (let i = 0; i < 50; i += 1) it.feed({ timeS: i, text: '~' })
    expect(() => it.end()).toThrow(/None of the 50 lines holds a readable number/)
    expect(() => reader().it.end()).toThrow(/No line came/)
  })
})
