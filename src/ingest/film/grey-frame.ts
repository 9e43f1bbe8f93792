/** One frame of a film, or a part of it. */
export interface GreyFrame {
  /** When it was taken, by the film's own time stamps. */
  readonly timeS: number
  readonly width: number
  readonly height: number
  /** Row by row from the top left, 0 black to 255 white. */
  readonly pixels: Uint8Array | Uint8ClampedArray
  /** Where the display was followed to; left out where it stands still. */
  readonly moved?: Moved
}

/**
 * How far the display lies from where its box was drawn, px: to the right and down at the left edge of the picture, then at
 * the right edge; in between in proportion. A camera that was moved or turned a little does no more than that.
 */
export type Moved = readonly [leftX: number, leftY: number, rightX: number, rightY: number]

export type Point = readonly [x: number, y: number]

/** A four-sided frame that a person drew closely around the digits, in px: top left, top right, bottom right, bottom left. */
export type DisplayBox = readonly [Point, Point, Point, Point]

/** What a person says of a display. */
export interface DisplayLayout {
  /** Digits, without the sign. */
  readonly digits: number
  /** How many of them stand behind the decimal point. */
  readonly decimals: number
  /** A place of its own for the minus stands in front of them. */
  readonly sign: boolean
}

/** A frame that is drawn with upright sides. */
export function uprightBox(left: number, top: number, right: number, bottom: number): DisplayBox {
  return [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ]
}
