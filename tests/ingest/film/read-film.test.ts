import { describe, expect, it } from 'vitest'
import { type GreyFrame, readFilm, uprightBox } from '../../../src/ingest/film/index.js'
import { frameReader, learnScale } from '../../../src/ingest/film/read-figures.js'
import { type DisplayLook, filmedDisplay, seededRandom } from '../../harness/film/filmed-display.js'
import { drawnLook, drawnTravel, filmedRun } from '../../harness/film/filmed-run.js'
import { howMany } from '../../harness/proof-mode.js'

const LOOK: DisplayLook = {
  ...{ digits: 5, decimals: 2, sign: false, lit: true, ground: 30, segment: 210, ghost: 0.05 },
  ...{ digitPx: 30, widthShare: 0.5, pitchShare: 0.78, thickShare: 0.11, slantDeg: 6, tiltDeg: 2 },
  ...{ blurShare: 0.03, noise: 8, glare: 0, shakePx: 0.2, blankZeros: false, plainSixNine: false },
  ...{ hookedSeven: false, change: 'tear', framesPerS: 30, refreshHz: 8, exposure: 0.6 },
}
const TRAVEL = { fromMm: 12, speedMmPerS: 2.5, restS: 0.5, rampS: 0.2, steadyS: 3 }

describe('the figures of a filmed display', () => {
  // Films as the page asks for them; `npm run proof:film` makes hundreds, and worse ones.
  it('are read without a wrong digit, and the feed is good to 0.3 %', () => {
    let digits = 0
    let feeds = 0
    for (let seed = 101; seed <= howMany(102, 130); seed += 1) {
      const look = drawnLook(seed, 'usual')
      const run = filmedRun(look, drawnTravel(seed, look, howMany(8, 14)), seed)
      expect(run.wrong, `seed ${seed}`).toBe(0)
      digits += run.digits
      const { feed } = run
      if (feed === null) continue
      feeds += 1
      expect(Math.abs(feed.feedMmPerMin / (60 * run.travel.speedMmPerS) - 1), `seed ${seed}`).toBeLessThan(
        0.003,
      )
    }
    expect(feeds).toBeGreaterThanOrEqual(howMany(2, 24))
    expect(digits).toBeGreaterThan(howMany(1500, 60_000))
  })

  it('of a display that changes as fast as the film goes on are left out, since none is seen twice', () => {
    const look = { ...LOOK, refreshHz: 29, change: 'digit by digit' } as const
    const { wrong, digits, frames, reading } = filmedRun(look, { ...TRAVEL, steadyS: 1.5 }, 5)
    expect(wrong).toBe(0)
    expect(reading!.isTooSlow).toBe(true)
    expect(digits).toBeLessThan(0.5 * look.digits * frames.length)
  })

  it('of a film that slows down half way have the times of their own frames', () => {
    for (const slowsDown of [1.25, 2]) {
      const look = { ...LOOK, slowsDown, framesPerS: 50, refreshHz: 6 }
      const { frames, reading, wrong, runs } = filmedRun(look, TRAVEL, 6)
      expect(wrong).toBe(0)
      expect(reading!.isTooSlow).toBe(false)
      // Both halves are read, the slow one as well as the other.
      const halfS = frames.at(-1)!.timeS / 2
      const shares = [-1, 1].map((side) => {
        const isIn = ({ timeS }: { timeS: number }): boolean => side * (timeS - halfS) > 0
        return reading!.frames.filter(isIn).length / frames.filter(isIn).length
      })
      expect(Math.min(...shares)).toBeGreaterThan(0.8)
      const { feedMmPerMin } = runs.find(({ feed }) => feed !== null)!.feed!
      expect(Math.abs(feedMmPerMin / (60 * TRAVEL.speedMmPerS) - 1)).toBeLessThan(0.003)
    }
  })

  it('that the motion of a table does not explain are left out, however clear they are', () => {
    const film = filmedDisplay(LOOK, TRAVEL, 7)
    // For a fifth of a second in the middle of the travel the display shows what it showed at the start.
    const odd = (index: number): boolean => index >= 70 && index < 76
    const frames = Array.from({ length: film.frames }, (_, index) => ({
      ...film.frame(odd(index) ? 2 : index),
      timeS: index / 30,
    }))
    const reading = readFilm(frames, boxOf(film.corners), LOOK)!
    expect(reading.hasMoreDigits).toBe(false)
    const accepted = reading.frames.map(({ timeS }) => Math.round(timeS * 30))
    expect(accepted.filter(odd)).toEqual([])
    expect(accepted.length).toBeGreaterThan(0.8 * film.frames)
  })

  it('below nought are not taken where their minus is looked for beside where it stands', () => {
    // Three figures at the right end tell little of the left end of a row: here it is looked for too low.
    const look = { ...LOOK, digits: 7, sign: true, blankZeros: true, tiltDeg: 0, noise: 4 }
    const film = filmedDisplay(look, { ...TRAVEL, fromMm: -9, steadyS: 2 }, 11)
    const frames = Array.from({ length: film.frames }, (_, index) => film.frame(index))
    const { display } = readFilm(frames, boxOf(film.corners), look)!
    const { placement } = display
    const fallsBy = 0.02
    const rightX = placement.firstX + 7 * placement.pitch
    const off = {
      ...placement,
      tilt: placement.tilt - fallsBy,
      middleY: placement.middleY + fallsBy * rightX,
    }
    const beside = { ...display, placement: off }
    const read = frames.map(frameReader(beside, learnScale(frames, beside)))
    expect(read.filter(({ places }) => places.at(-1) !== null).length).toBeGreaterThan(frames.length / 2)
    expect(read.filter(({ count }) => count !== null && count > 0)).toEqual([])
  })

  it('are not taken where the display has more digits than was said', () => {
    const film = filmedDisplay(LOOK, { ...TRAVEL, steadyS: 2 }, 9)
    const frames = Array.from({ length: film.frames }, (_, index) => film.frame(index))
    const fewer = readFilm(frames, boxOf(film.corners), { ...LOOK, digits: 4 })
    expect(fewer === null || fewer.hasMoreDigits || fewer.frames.length === 0).toBe(true)
  })

  it('are none where there is no display', () => {
    const random = seededRandom(3)
    const frames = Array.from({ length: 30 }, (_, index): GreyFrame => {
      const pixels = Uint8Array.from({ length: 160 * 60 }, () => 90 + 40 * random())
      return { timeS: index / 30, width: 160, height: 60, pixels }
    })
    const reading = readFilm(frames, uprightBox(5, 5, 155, 55), { digits: 5, decimals: 2, sign: false })
    expect(reading?.frames ?? []).toEqual([])
    expect(readFilm([], uprightBox(5, 5, 155, 55), { digits: 5, decimals: 2, sign: false })).toBeNull()
  })
})

function boxOf(corners: readonly (readonly [number, number])[]): Parameters<typeof readFilm>[1] {
  return corners as unknown as Parameters<typeof readFilm>[1]
}
