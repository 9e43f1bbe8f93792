import type { StampedLine } from '../lines/stamped-line.js'
import { type AcceptedFrame, acceptedFrames, filmPositions } from './film-positions.js'
import { type FoundDisplay, findPlacement } from './find-placement.js'
import { followDisplay } from './follow/follow-display.js'
import type { DisplayBox, DisplayLayout, GreyFrame } from './grey-frame.js'
import { isLitBeside } from './lit-beside.js'
import { type FrameReading, frameReader, learnScale } from './read-figures.js'

/** Frames that the brightness of the display is learned from. Judgement: every figure shows in each place that moves. */
const LEARNS_FROM = 120

/**
 * Shares of the frames in which a place stays as in the frame beside: the first place of a display that is read well, and
 * one that changes too fast. Judgement: the first hardly ever changes, and one that stays in half of the frames is read in
 * most of its numbers.
 */
const STAYS = 0.8
const CHANGES_TOO_FAST = 0.5

/** What a film of a readout came to. */
export interface FilmReading {
  readonly display: FoundDisplay
  /** A figure stands beside those that were read: the display has more digits than was said. */
  readonly hasMoreDigits: boolean
  /** The last digits change too fast for so few frames a second, or fade too slowly, though the display is read well. */
  readonly isTooSlow: boolean
  /** Frames whose number is certain and explained by the motion of the table. */
  readonly frames: readonly AcceptedFrame[]
  /** Frames that were left out. */
  readonly leftOut: number
  /** The display's numbers with the time that each came, as a cable would have brought them. */
  readonly positions: readonly AcceptedFrame[]
}

/**
 * Reads the figures of a seven-segment display, lit or liquid-crystal, in every frame of a film. What is not certain, what
 * was caught half way between two numbers and what the motion of a table does not explain is left out, never put right.
 *
 * @param film in order of time; grey, and at least about 20 px for the height of a figure
 * @param box drawn closely around the digits, on the frame at `drawnOn`; what moves with the camera is followed
 * @returns null where nothing in the box looks like figures
 */
export function readFilm(
  film: readonly GreyFrame[],
  box: DisplayBox,
  layout: DisplayLayout,
  drawnOn = 0,
): FilmReading | null {
  const frames = followDisplay(film, box, drawnOn)
  const display = findPlacement(frames, box, layout)
  if (display === null) return null
  const every = Math.max(1, Math.floor(frames.length / LEARNS_FROM))
  const some = frames.filter((_, index) => index % every === 0)
  const readings = frames.map(frameReader(display, learnScale(some, display)))
  const accepted = acceptedFrames(readings)
  return {
    display,
    hasMoreDigits: isLitBeside(some, display),
    isTooSlow: changesTooFast(readings),
    frames: accepted,
    leftOut: film.length - accepted.length,
    positions: filmPositions(accepted),
  }
}

/** Whether the first place is read well and another one hardly ever in two frames running. */
function changesTooFast(readings: readonly FrameReading[]): boolean {
  const [first = 0, ...others] = readings[0]?.places.map((_, place) => stays(readings, place)) ?? []
  return first > STAYS && Math.min(...others) < CHANGES_TOO_FAST
}

/** Share of the frames in which a place is certain and as in a frame beside. */
function stays(readings: readonly FrameReading[], place: number): number {
  const figures = readings.map(({ places }) => places[place] ?? null)
  const same = figures.filter(
    (one, index) => one !== null && (one === figures[index - 1] || one === figures[index + 1]),
  )
  return same.length / readings.length
}

/** Positions of a film as the lines that a readout would have sent. */
export function filmLines(
  positions: readonly AcceptedFrame[],
  { decimals }: Pick<DisplayLayout, 'decimals'>,
): StampedLine[] {
  return positions.map(({ timeS, count }) => ({ timeS, text: (count / 10 ** decimals).toFixed(decimals) }))
}
