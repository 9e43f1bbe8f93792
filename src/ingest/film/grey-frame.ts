/** One frame of a film, or a part of it. */
export interface GreyFrame {
  /** When it was taken, by the film's own time stamps. */
  readonly timeS: number
  readonly width: number
  readonly height: number
  /** Row by row from the top left, 0 black to 255 white. */
  readonly pixels: Uint8Array | Uint8ClampedArray
}

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
