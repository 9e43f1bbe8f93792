import type { DisplayBox, GreyFrame, Moved } from '../grey-frame.js'
import { spread } from '../spread.js'
import { blendInto, type Picture, pictureOf, pyramid, type Region } from './picture.js'
import { register } from './register.js'

/** Sizes that a display is looked for in: a quarter, a half, the whole. Derived: 10 px at the whole are 2 at a quarter. */
const LEVELS = 3
/** Correlation below which a display was not found. Judgement: half of what digits that all changed leave. */
const LEAST_LIKENESS = 0.4
/** Pictures over which the reference is the mean: it forgets digits that changed. Judgement: a third of a second. */
const REMEMBERS = 10
/** A shift that a reading does not feel, px. Judgement: a fifth of the thickness of a bar. */
const STILL_PX = 0.75
/** Frames, spread over the film, that tell whether the phone stood still. Judgement: a hand moves in any of them. */
const LOOKED_AT = 24

const UNMOVED: Moved = [0, 0, 0, 0]

/**
 * Follows the display of a film that was held by hand.
 *
 * @param frames in order of time
 * @param box on the frame at `drawnOn`
 * @returns the frames in which the display was found, with where; all as they came where it stands still
 */
export function followDisplay(
  frames: readonly GreyFrame[],
  box: DisplayBox,
  drawnOn: number,
): readonly GreyFrame[] {
  const first = frames[drawnOn]
  if (first === undefined) return frames
  const region = regionOf(box)
  if (standsStill(first, spread(frames, LOOKED_AT), region)) return frames
  const followed = [
    ...follow(frames.slice(0, drawnOn + 1).toReversed(), region)
      .slice(1)
      .toReversed(),
    ...follow(frames.slice(drawnOn), region),
  ]
  return againstTheMean(
    followed.filter((one) => one !== null),
    region,
  )
}

function standsStill(first: GreyFrame, others: readonly GreyFrame[], region: Region): boolean {
  const reference = pictureOf(first)
  return others.every((frame) => {
    const found = register(reference, pictureOf(frame), region, { scale: 1, start: UNMOVED, turns: false })
    return found !== null && Math.hypot(found.moved[0], found.moved[1]) < STILL_PX
  })
}

/** From the first frame, which it takes for the reference, to the last; null for those in which it was not found. */
function follow(frames: readonly GreyFrame[], region: Region): (GreyFrame | null)[] {
  const mean = pictureOf(frames[0]!)
  let reference = pyramid(mean, LEVELS)
  let at = UNMOVED
  return frames.map((frame, index) => {
    if (index === 0) return { ...frame, moved: UNMOVED }
    const found = find(reference, pyramid(pictureOf(frame), LEVELS), region, at)
    if (found === null) return null
    at = found
    blendInto(mean, frame, found, 1 / Math.min(index + 1, REMEMBERS))
    reference = pyramid(mean, LEVELS)
    return { ...frame, moved: found }
  })
}

/** Once more against the mean of all, so that small errors do not add up from frame to frame. */
function againstTheMean(frames: readonly GreyFrame[], region: Region): GreyFrame[] {
  const mean = pictureOf(frames[0]!)
  for (const [index, frame] of frames.entries()) blendInto(mean, frame, frame.moved!, 1 / (index + 1))
  return frames.flatMap((frame) => {
    const found = register(mean, pictureOf(frame), region, { scale: 1, start: frame.moved!, turns: true })
    return found === null || found.likeness < LEAST_LIKENESS ? [] : [{ ...frame, moved: found.moved }]
  })
}

function find(
  reference: readonly Picture[],
  picture: readonly Picture[],
  region: Region,
  start: Moved,
): Moved | null {
  let moved = start
  let likeness = 0
  for (let level = LEVELS - 1; level >= 0; level -= 1) {
    const found = register(reference[level]!, picture[level]!, region, {
      ...{ scale: 2 ** level, start: moved, turns: level === 0 },
    })
    if (found === null) return null
    moved = found.moved
    likeness = found.likeness
  }
  return likeness < LEAST_LIKENESS ? null : moved
}

/** The bounds of the box. */
function regionOf(box: DisplayBox): Region {
  const [xs, ys] = [box.map(([x]) => x), box.map(([, y]) => y)]
  return {
    ...{ left: Math.min(...xs), right: Math.max(...xs) },
    ...{ top: Math.min(...ys), bottom: Math.max(...ys) },
  }
}
