import { describe, expect, it } from 'vitest'
import type { RejectedLine } from '../../../src/ingest/index.js'
import { fellSilent, judgeLostLines } from '../../../src/traverse/disturbances/lost-lines.js'

/** Ten lines a second but for pauses, by the sample before which they lie, s. */
function track(pauses: Readonly<Record<number, number>> = {}, samples = 101) {
  const times = [100]
  for (let i = 1; i < samples; i++) times.push(times[i - 1]! + (pauses[i] ?? 0.1))
  return { timeS: Float64Array.from(times), positionMm: new Float64Array(samples) }
}

const unreadable = (count: number, timeS = 105) =>
  Array.from({ length: count }, () => ({ code: 'unreadable', timeS, text: 'x' }) as unknown as RejectedLine)

const judged = (
  lost: ReturnType<typeof track>,
  rejectedLines: readonly RejectedLine[] = [],
  linesPerSample?: number,
) =>
  judgeLostLines(lost, 0, lost.timeS.length, {
    periodS: 0.1,
    rejectedLines,
    ...(linesPerSample === undefined ? {} : { linesPerSample }),
  })

describe('fellSilent(track, firstIndex, lastIndex, periodS)', () => {
  it('calls eight periods a silence, half a second at least', () => {
    expect(fellSilent(track({ 50: 0.81 }), 40, 60, 0.1)).toBe(true)
    expect(fellSilent(track({ 50: 0.79 }), 40, 60, 0.1)).toBe(false)
    expect(fellSilent(track({ 50: 0.51 }), 40, 60, 0.01)).toBe(true)
    expect(fellSilent(track({ 50: 0.49 }), 40, 60, 0.01)).toBe(false)
    expect(fellSilent(track({ 50: 3 }), 50, 60, 0.1)).toBe(false)
    expect(fellSilent(track({ 50: 3 }), 40, 50, 0.1)).toBe(true)
  })

  it('counts from eight periods and from half a second on', () => {
    // Binary fractions, which are exact.
    const pauses = (pauseS: number) => ({
      timeS: Float64Array.of(8, 8.125, 8.125 + pauseS),
      positionMm: new Float64Array(3),
    })
    expect(fellSilent(pauses(1), 0, 2, 0.125)).toBe(true)
    expect(fellSilent(pauses(0.5), 0, 2, 0.03125)).toBe(true)
  })
})

describe('judgeLostLines(track, from, to, lines)', () => {
  it('says nothing of a sound stretch, of a few unreadable lines, nor of those outside it', () => {
    expect(judged(track(), unreadable(11))).toEqual({ rejection: null, warnings: [] })
    expect(judged(track(), unreadable(500, 99))).toEqual({ rejection: null, warnings: [] })
    expect(judged(track(), unreadable(500, 200))).toEqual({ rejection: null, warnings: [] })
  })

  it('tells the longest gap and when it was', () => {
    expect(judged(track({ 31: 1, 61: 1.5 }))).toMatchObject({
      rejection: null,
      warnings: [
        { code: 'gap', message: expect.stringMatching(/silent for 1\.5 s, 6\.9 s into the recording/) },
      ],
    })
  })

  it('refuses a stretch of which silences take more than a quarter', () => {
    // 9.8 s with lines, and 3.2 s in two silences of 13 s in all: 25 % less a little.
    expect(judged(track({ 31: 1.6, 61: 1.6 })).rejection).toBeNull()
    expect(judged(track({ 31: 1.7, 61: 1.7 })).rejection).toMatchObject({
      code: 'lines-lost',
      message: expect.stringMatching(/silent for 1\.7 s.* 26 %/),
    })
  })

  it('tells a tenth of the lines that could not be read, and refuses a stretch with more than half', () => {
    expect(judged(track(), unreadable(12)).warnings).toMatchObject([
      { code: 'unreadable-lines', message: expect.stringMatching(/^12 .*11 %/) },
    ])
    expect(judged(track(), unreadable(101)).rejection).toBeNull()
    expect(judged(track(), unreadable(102)).rejection).toMatchObject({ code: 'lines-lost' })
  })

  it('takes every limit for still allowed, and lines at both ends of the stretch for part of it', () => {
    // Eight lines a second, which is exact: 8 s with two silences of eight periods, a quarter of it.
    const times = [100]
    for (let i = 1; i < 51; i++) times.push(times[i - 1]! + (i === 20 || i === 40 ? 1 : 0.125))
    const eighths = { timeS: Float64Array.from(times), positionMm: new Float64Array(51) }
    const found = judgeLostLines(eighths, 0, 51, { periodS: 0.125, rejectedLines: [] })
    expect(found).toMatchObject({ rejection: null, warnings: [{ code: 'gap' }] })
    // Of two alike the first is told, by its beginning.
    expect(found.warnings[0]!.message).toMatch(/silent for 1\.0 s, 2\.4 s into/)
    const ninety = track({}, 90)
    const [fromS, toS] = [ninety.timeS[0]!, ninety.timeS[89]!]
    expect(judged(ninety, unreadable(10)).warnings).toEqual([])
    expect(
      judged(ninety, [...unreadable(9), ...unreadable(1, fromS), ...unreadable(1, toS)]).warnings,
    ).toMatchObject([{ code: 'unreadable-lines', message: expect.stringMatching(/^11 /) }])
  })
})
