import type { StampedLine } from '../lines/stamped-line.js'
import { type AcceptedFrame, acceptedFrames, filmPositions } from './film-positions.js'
import { type FoundDisplay, findPlacement } from './find-placement.js'
import { followDisplay } from './follow/follow-display.js'
import type { DisplayBox, DisplayLayout, GreyFrame } from './grey-frame.js'
import { isLitBeside } from './lit-beside.js'
import { frameReader, learnScale } from './read-figures.js'

/** Frames that the brightness of the display is learned from. Judgement: every figure shows in each place that moves. */
const LEARNS_FROM = 120

/** What a film of a readout came to. */
export interface FilmReading {
  readonly display: FoundDisplay
  /** A figure stands beside those that were read: the display has more digits than was said. */
  readonly hasMoreDigits: boolean
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
  const accepted = acceptedFrames(frames.map(frameReader(display, learnScale(some, display))))
  return {
    display,
    hasMoreDigits: isLitBeside(some, display),
    frames: accepted,
    leftOut: film.length - accepted.length,
    positions: filmPositions(accepted),
  }
}

/** Positions of a film as the lines that a readout would have sent. */
export function filmLines(
  positions: readonly AcceptedFrame[],
  { decimals }: Pick<DisplayLayout, 'decimals'>,
): StampedLine[] {
  return positions.map(({ timeS, count }) => ({ timeS, text: (count / 10 ** decimals).toFixed(decimals) }))
}
