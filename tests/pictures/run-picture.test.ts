import { describe, expect, it } from 'vitest'
import { type RunSamples, runPicture, runTrack } from '../../src/pictures/index.js'
import { elementsOf, readXml, textOf } from './read-xml.js'

const PHASES = { startS: 102, steadyFromS: 103, steadyToS: 123, endS: 124 }
const RIPPLE = { periodMm: 5, amplitudeMm: 0.02 }

/** 2 s of rest, 22 s at 3 mm/s with a ripple of the leadscrew, 2 s of rest, ten samples a second from 100 s on. */
function samples(): RunSamples {
  const timeS = Float64Array.from({ length: 260 }, (_, i) => 100 + i / 10)
  const positionMm = timeS.map((at) => {
    const travelled = 3 * Math.min(22, Math.max(0, at - 102))
    return 40 + travelled + RIPPLE.amplitudeMm * Math.sin((2 * Math.PI * travelled) / RIPPLE.periodMm)
  })
  const steady = Array.from(timeS.keys()).filter((i) => timeS[i]! >= 103 && timeS[i]! <= 123)
  return { timeS, positionMm, steadyIndices: Int32Array.from(steady) }
}

const HEADING = { title: 'Mill <1> · X: dial 4, direction +', subtitles: ['7.09 in/min', 'run A & B'] }

describe('runTrack(samples, phases, ripple)', () => {
  it('keeps positions as the readout gave them and counts time from the first sample', () => {
    const track = runTrack(samples(), PHASES, RIPPLE)
    expect(track.timeS[0]).toBe(0)
    expect(track.timeS.at(-1)).toBeCloseTo(25.9, 9)
    expect(track.positionMm[0]).toBe(40)
    expect(track.phases).toEqual({ startS: 2, steadyFromS: 3, steadyToS: 23, endS: 24 })
  })

  it('shows the ripple with its own size, and hardly a residual beyond it', () => {
    const { steady } = runTrack(samples(), PHASES, RIPPLE)
    expect(Math.max(...steady!.rippleMm!)).toBeCloseTo(RIPPLE.amplitudeMm, 3)
    const beyond = steady!.residualMm.map((residual, i) => Math.abs(residual - steady!.rippleMm![i]!))
    // The ripple's own phase shifts by as much as the ripple moves the table: 2π·0.02/5 of its size.
    expect(Math.max(...beyond)).toBeLessThan(0.03 * RIPPLE.amplitudeMm)
  })

  it('averages a long run to what a page can show, and keeps its ends', () => {
    const count = 50_000
    const timeS = Float64Array.from({ length: count }, (_, i) => i / 1000)
    const track = runTrack(
      { timeS, positionMm: timeS.map((at) => 10 - 2 * at), steadyIndices: Int32Array.from(timeS.keys()) },
      { startS: 0, steadyFromS: 0, steadyToS: 50, endS: 50 },
      null,
    )
    expect(track.timeS).toHaveLength(3000)
    expect(track.positionMm[0]).toBeCloseTo(10, 1)
    expect(track.positionMm.at(-1)).toBeCloseTo(-90, 1)
    expect(Math.max(...track.steady!.residualMm.map(Math.abs))).toBeLessThan(1e-9)
  })
})

describe('runPicture(heading, track, unit)', () => {
  it('is well-formed, names the phases and the axes, and escapes what users wrote', () => {
    const root = readXml(runPicture(HEADING, runTrack(samples(), PHASES, RIPPLE), 'mm'))
    const texts = elementsOf(root, 'text').map(textOf)
    expect(texts[0]).toBe(HEADING.title)
    for (const word of ['rest', 'steady', 'time, s', 'position, mm', 'run A & B'])
      expect(texts).toContain(word)
    expect(texts).toContainEqual(expect.stringMatching(/distance from a straight line, µm; .* ripple/))
    expect(textOf(elementsOf(root, 'desc')[0]!)).toMatch(/steady from 3.0 to 23.0 s/)
    expect(elementsOf(root, 'circle')).toHaveLength(samples().steadyIndices.length)
  })

  it('draws the track alone where no steady part was found', () => {
    const track = runTrack({ ...samples(), steadyIndices: new Int32Array() }, null, null)
    const root = readXml(runPicture(HEADING, track, 'in'))
    expect(elementsOf(root, 'circle')).toHaveLength(0)
    expect(elementsOf(root, 'text').map(textOf)).toContain('position, in')
    expect(textOf(elementsOf(root, 'desc')[0]!)).toMatch(/no steady part/)
  })
})
