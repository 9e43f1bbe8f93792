import { describe, expect, it } from 'vitest'
import { followDisplay } from '../../../../src/ingest/film/follow/follow-display.js'
import type { DisplayBox, GreyFrame } from '../../../../src/ingest/film/grey-frame.js'
import { readFilm } from '../../../../src/ingest/film/index.js'
import { type DisplayLook, filmedDisplay } from '../../../harness/film/filmed-display.js'

const LOOK: DisplayLook = {
  ...{ digits: 5, decimals: 2, sign: false, lit: true, ground: 30, segment: 210, ghost: 0.05 },
  ...{ digitPx: 28, widthShare: 0.5, pitchShare: 0.78, thickShare: 0.11, slantDeg: 6, tiltDeg: 1 },
  ...{ blurShare: 0.03, noise: 6, glare: 0, shakePx: 0, blankZeros: false, plainSixNine: false },
  ...{ hookedSeven: false, change: 'tear', framesPerS: 30, refreshHz: 8, exposure: 0.4 },
}
const TRAVEL = { fromMm: 12, speedMmPerS: 5, restS: 0.3, rampS: 0.2, steadyS: 2 }
const held = filmedDisplay({ ...LOOK, hand: 0.7 }, TRAVEL, 3)
const frames = Array.from({ length: held.frames }, (_, index) => held.frame(index))
const box = held.corners as unknown as DisplayBox

describe('a display that was filmed by hand', () => {
  const reading = readFilm(frames, box, LOOK)!
  const byTime = new Map(frames.map((frame) => [frame.timeS, frame.shown]))

  it('is followed, so that its digits are read, none of them wrong', () => {
    expect(reading.frames.length).toBeGreaterThan(0.85 * frames.length)
    for (const { timeS, count } of reading.frames) expect(byTime.get(timeS)).toContain(count)
    // Without being followed it is not: the display wanders by more than the thickness of a bar.
    const moved = followDisplay(frames, box, 0).map((frame) => frame.moved!)
    expect(Math.max(...moved.flat().map(Math.abs))).toBeGreaterThan(LOOK.thickShare * LOOK.digitPx)
  })

  it('is followed back as well from the picture that the box was drawn on', () => {
    const last = frames.length - 1
    const backward = frames.toReversed().map((frame, index) => ({ ...frame, timeS: frames[index]!.timeS }))
    const forth = followDisplay(frames, box, 0)
    const back = followDisplay(backward, box, last).toReversed()
    expect(back).toHaveLength(forth.length)
    const apart = forth.flatMap(({ moved }, index) =>
      moved!.map((px, i) => Math.abs(px - back[index]!.moved![i]!)),
    )
    expect(Math.max(...apart)).toBeLessThan(1)
  })

  it('is left out of the pictures in which it cannot be found', () => {
    const covered = (index: number): boolean => index >= 30 && index < 36
    const blank = (frame: GreyFrame): GreyFrame => ({
      ...frame,
      pixels: frame.pixels.map((_, i) => 90 + (i % 7)),
    })
    const some = frames.map((frame, index) => (covered(index) ? blank(frame) : frame))
    const times = new Set(followDisplay(some, box, 0).map(({ timeS }) => timeS))
    expect(
      frames
        .filter(({ timeS }) => !times.has(timeS))
        .map(({ timeS }) => frames.findIndex((one) => one.timeS === timeS)),
    ).toEqual([30, 31, 32, 33, 34, 35])
  })
})

it('a display that was filmed from a stand is taken as it stands', () => {
  const film = filmedDisplay(LOOK, TRAVEL, 4)
  const still = Array.from({ length: film.frames }, (_, index) => film.frame(index))
  expect(followDisplay(still, film.corners as unknown as DisplayBox, 0)).toBe(still)
  expect(followDisplay([], film.corners as unknown as DisplayBox, 0)).toEqual([])
})
