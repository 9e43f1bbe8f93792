import { describe, expect, it } from 'vitest'
import { type RejectedLine, type Sample, SampleReader } from '../../../src/ingest/index.js'

function read(texts: readonly string[], decideAfter = 20) {
  const samples: Sample[] = []
  const rejected: RejectedLine[] = []
  const reader = new SampleReader(
    { axis: 'x', bareUnit: 'in', decideAfter },
    { onSample: (sample) => samples.push(sample), onRejected: (one) => rejected.push(one) },
  )
  texts.forEach((text, i) => {
    reader.feed({ timeS: i / 10, text })
  })
  reader.end()
  return { samples, rejected, reader }
}

const inches = (count: number, from = 0): string[] =>
  Array.from({ length: count }, (_, i) => `X+${((from + i) / 100).toFixed(4)}`)
const millimetres = (count: number, from = 0): string[] =>
  Array.from({ length: count }, (_, i) => `X+${((from + i) * 0.254).toFixed(3)}`)

describe('a readout that writes its lines in another way after a while', () => {
  it('is read on in the new shape, every line of it', () => {
    const { samples, rejected, reader } = read([...inches(100), ...millimetres(60, 100)])
    expect(samples).toHaveLength(160)
    expect(rejected).toEqual([])
    expect(reader.format!.shapes).toHaveLength(2)
    // Without a unit in the lines the numbers are taken as before, so that the positions jump by 25.4.
    expect(samples[100]!.positionMm / samples[99]!.positionMm).toBeCloseTo(25.4 * (100 / 99), 2)
  })

  it('is noticed at the end of the stream from a few lines', () => {
    expect(read([...inches(60), ...millimetres(8, 60)]).samples).toHaveLength(68)
  })

  it('reads lines that say their unit in that unit', () => {
    const inInches = inches(60).map((text) => `${text} in`)
    const inMm = millimetres(60, 60).map((text) => `${text} mm`)
    const { samples, rejected } = read([...inInches, ...inMm])
    expect(rejected).toEqual([])
    samples.forEach((sample, i) => {
      expect(sample.positionMm).toBeCloseTo(i * 0.254, 2)
    })
  })

  it('damaged lines, alone or many in a row, stay refused, and the lines after them are read', () => {
    const damaged = Array.from({ length: 50 }, (_, i) => `X+0?${'#'.repeat(i % 7)}${i}`)
    const { samples, rejected } = read([
      ...inches(60),
      'X+0.1',
      ...inches(5, 60),
      ...damaged,
      ...inches(30, 70),
    ])
    expect(samples).toHaveLength(95)
    expect(rejected).toHaveLength(51)
    expect(new Set(rejected.map(({ code }) => code))).toEqual(new Set(['garbled']))
  })

  it('holds back no more than some thousand refused lines', () => {
    const damaged = Array.from({ length: 10_000 }, (_, i) => `?${i * 7919}#${'a'.repeat(i % 5)}`)
    const { rejected } = read([...inches(60), ...damaged])
    expect(rejected).toHaveLength(10_000)
  })
})
