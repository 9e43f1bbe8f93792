import type { GreyFrame, Moved } from '../grey-frame.js'

/** A picture whose grey levels need not be whole numbers, row by row from the top left. */
export interface Picture {
  readonly width: number
  readonly height: number
  readonly grey: Float32Array
}

/** A part of a picture with upright sides, px. */
export interface Region {
  readonly left: number
  readonly top: number
  readonly right: number
  readonly bottom: number
}

export function pictureOf({ width, height, pixels }: GreyFrame): Picture {
  return { width, height, grey: Float32Array.from(pixels) }
}

/**
 * The same picture at full, half, a quarter of its size and so on: what lies far off is looked for in the small ones, and
 * then more exactly in the larger ones.
 */
export function pyramid(picture: Picture, levels: number): Picture[] {
  const all = [picture]
  while (all.length < levels) all.push(halved(all.at(-1)!))
  return all
}

/** Half as wide and half as high: each pixel is the mean of four. */
function halved({ width, height, grey }: Picture): Picture {
  const [wide, high] = [Math.floor(width / 2), Math.floor(height / 2)]
  const half = new Float32Array(wide * high)
  for (let y = 0; y < high; y += 1)
    for (let x = 0; x < wide; x += 1) {
      const at = 2 * y * width + 2 * x
      half[y * wide + x] = (grey[at]! + grey[at + 1]! + grey[at + width]! + grey[at + width + 1]!) / 4
    }
  return { width: wide, height: high, grey: half }
}

/** Takes a share of a frame, moved back to where the display was drawn, into a mean picture. */
export function blendInto(
  { width, height, grey }: Picture,
  frame: GreyFrame,
  moved: Moved,
  share: number,
): void {
  const [leftX, leftY, rightX, rightY] = moved
  for (let row = 0; row < height; row += 1)
    for (let column = 0; column < width; column += 1) {
      const along = (column + 0.5) / width
      const x = Math.round(column + leftX + (rightX - leftX) * along)
      const y = Math.round(row + leftY + (rightY - leftY) * along)
      // What lies outside the frame stays as it was.
      if (x < 0 || y < 0 || x >= width || y >= height) continue
      const at = row * width + column
      grey[at]! += share * (frame.pixels[y * width + x]! - grey[at]!)
    }
}
