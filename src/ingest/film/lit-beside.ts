import { barLevels, litContrast } from './bar-levels.js'
import type { FoundDisplay } from './find-placement.js'
import type { GreyFrame } from './grey-frame.js'
import { boxSize, placePoints } from './placement.js'

/** Share of a lit bar's contrast that tells a bar in a place beside the row. Judgement: half way. */
const LIT = 0.5
/** Share of the frames that must show it. Judgement: a minus may come late in a travel, and noise comes seldom. */
const OFTEN = 0.1

/**
 * Whether a figure or a minus stands in the frame beside the places that were found: then the display has more places than
 * was said, and a number read without its first or last one would be wrong by far.
 */
export function isLitBeside(frames: readonly GreyFrame[], display: FoundDisplay): boolean {
  const { placement, layout, box, polarity } = display
  const places = layout.digits + (layout.sign ? 1 : 0)
  const [width] = boxSize(box)
  const points = placePoints(placement, places, box)
  return [-1, places].some((place) => {
    const firstX = placement.firstX + place * placement.pitch
    // Half of it may lie outside the frame that was drawn; more than that was meant to be left out.
    if (firstX < 0 || firstX > width) return false
    const [beside] = placePoints({ ...placement, firstX }, 1, box)
    const seen = frames.filter((frame) => {
      const lit = litContrast(points.map((one) => barLevels(frame, one, polarity).contrast))
      return Math.max(...barLevels(frame, beside!, polarity).contrast) > LIT * lit
    })
    return seen.length > OFTEN * frames.length
  })
}
