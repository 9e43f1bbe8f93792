import { type FilmReading, filmLines, readFilm } from '../../../src/ingest/film/index.js'
import { ingestLines } from '../../../src/ingest/index.js'
import { isTooUnsure } from '../../../src/jobs/live/runs-that-count.js'
import { type JudgedRun, judgeRecording, type RunFeed } from '../../../src/regression/index.js'
import {
  type DisplayLook,
  type FilmedDisplay,
  type FilmedFrame,
  type FilmedTravel,
  filmedDisplay,
  seededRandom,
} from './filmed-display.js'

/** A film that was drawn, read and judged. */
interface FilmedRun {
  readonly look: DisplayLook
  readonly travel: FilmedTravel
  readonly frames: readonly FilmedFrame[]
  readonly reading: FilmReading | null
  readonly runs: readonly JudgedRun[]
  /** Of the run that counts; null where none does. */
  readonly feed: RunFeed | null
  /** Digits that were accepted, and those of them that the display did not show. */
  readonly digits: number
  readonly wrong: number
}

/**
 * How hard a film is to read: as a person makes it who follows the page; the same held by hand; or worse than that in every
 * way, by a phone that stands.
 */
type Hardness = 'usual' | 'by hand' | 'hard'

/** Draws a display and how it was filmed; lengths in px suit a film whose display was cut out and made smaller. */
export function drawnLook(seed: number, hardness: Hardness): DisplayLook {
  const random = seededRandom(seed * 31 + 5)
  const between = (low: number, high: number): number => low + (high - low) * random()
  const pick = <T>(from: readonly T[]): T => from[Math.floor(random() * from.length)]!
  const isHard = hardness === 'hard'
  const lit = random() < 0.5
  return {
    ...(hardness === 'by hand' ? { hand: 0.1 + 0.3 * seededRandom(seed * 43 + 7)() } : {}),
    digits: pick([4, 5, 6, 7]),
    decimals: pick([2, 3]),
    sign: random() < 0.4,
    lit,
    ground: lit ? between(15, 60) : between(130, isHard ? 220 : 200),
    segment: lit ? between(isHard ? 110 : 150, 235) : between(25, isHard ? 95 : 70),
    ghost: between(0, isHard ? 0.18 : 0.08),
    digitPx: between(isHard ? 18 : 26, isHard ? 40 : 48),
    widthShare: between(0.44, 0.58),
    pitchShare: between(0.7, 0.86),
    thickShare: between(0.08, 0.15),
    slantDeg: between(0, 11),
    tiltDeg: between(isHard ? -7 : -4, isHard ? 7 : 4),
    blurShare: between(0.01, isHard ? 0.075 : 0.04),
    noise: between(2, isHard ? 26 : 12),
    glare: random() < (isHard ? 0.2 : 0.5) ? 0 : between(0, isHard ? 200 : 80),
    shakePx: random() < 0.5 ? 0 : between(0, isHard ? 1.2 : 0.5),
    blankZeros: random() < 0.4,
    plainSixNine: random() < 0.2,
    hookedSeven: random() < 0.2,
    change: pick(['blend', 'tear', 'digit by digit', 'fade', 'slow to go'] as const),
    framesPerS: pick([25, 30, 50, 60]),
    refreshHz: pick(isHard ? [4, 7, 10, 15, 20, 24, 31] : [5, 8, 10, 12]),
    exposure: between(0.15, 0.95),
  }
}

/** Draws a travel: rest, steady for so long, rest; some displays count below nought. */
export function drawnTravel(seed: number, look: DisplayLook, steadyS: number): FilmedTravel {
  const random = seededRandom(seed * 37 + 11)
  const speedMmPerS = 0.4 + 12 * random() ** 2
  // A display of four digits and three decimals shows up to 9.999.
  const most = 10 ** (look.digits - look.decimals)
  const farMm = speedMmPerS * (steadyS + 0.5)
  const scale = Math.min(1, (0.9 * most) / farMm)
  const isBelow = look.sign && random() < 0.5
  return {
    fromMm: isBelow ? -0.6 * scale * farMm : 0.05 * most * random(),
    speedMmPerS: scale * speedMmPerS,
    restS: 0.8,
    rampS: 0.25,
    steadyS,
  }
}

/** Draws a film, reads it with a frame drawn roughly around the digits, and judges what came of it. */
export function filmedRun(look: DisplayLook, travel: FilmedTravel, seed: number): FilmedRun {
  const film = filmedDisplay(look, travel, seed)
  const frames = Array.from({ length: film.frames }, (_, index) => film.frame(index))
  const { digits, decimals, sign } = look
  const reading = readFilm(frames, roughFrame(film, look, seed), { digits, decimals, sign })
  const shown = new Map(frames.map((frame) => [frame.timeS, frame.shown]))
  const accepted = reading?.frames ?? []
  const wrong = accepted.map(({ timeS, count }) =>
    Math.min(...shown.get(timeS)!.map((truth) => digitsApart(count, truth, digits))),
  )
  const runs = reading === null ? [] : judged(reading, decimals)
  const feed = runs.find((one) => one.feed !== null)?.feed ?? null
  return {
    ...{ look, travel, frames, reading, runs },
    feed: feed === null || isTooUnsure(feed) ? null : feed,
    digits: accepted.length * digits,
    wrong: wrong.reduce((sum, one) => sum + one, 0),
  }
}

/** The corners as a hand draws them: each off by up to a twelfth of a digit. */
function roughFrame({ corners }: FilmedDisplay, { digitPx }: DisplayLook, seed: number) {
  const random = seededRandom(seed * 41 + 3)
  const off = (): number => ((random() - 0.5) * digitPx) / 6
  return corners.map(([x, y]) => [x! + off(), y! + off()] as const) as unknown as Parameters<
    typeof readFilm
  >[1]
}

function judged({ positions }: FilmReading, decimals: number): readonly JudgedRun[] {
  try {
    return judgeRecording(ingestLines(filmLines(positions, { decimals }), { axis: 'x', bareUnit: 'mm' }), {})
  } catch {
    // Too few were read to be a recording; the program says so.
    return []
  }
}

function digitsApart(a: number, b: number, digits: number): number {
  const [one, other] = [a, b].map((value) => String(Math.abs(value)).padStart(digits, '0'))
  const apart = [...one!].filter((digit, place) => digit !== other![place]).length
  return apart + (a < 0 === b < 0 ? 0 : 1)
}
