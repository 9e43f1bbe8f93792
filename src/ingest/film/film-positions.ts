import { medianHigh } from '../../numbers/median-high.js'
import { withoutMixtures } from './mixtures.js'
import type { FrameReading } from './read-figures.js'

/** A frame whose number is taken. */
export interface AcceptedFrame {
  readonly timeS: number
  /** In units of the last digit, with its sign. */
  readonly count: number
}

/** Longest gap between two neighbouring frames, in frames. Derived: half a frame more than one. */
const NEIGHBOUR = 1.5
/** Fastest that a table goes beside its steady speed. Judgement: stamps of frames are coarse, and it may overshoot. */
const FASTEST = 1.4
/** Numbers on each side that a number is held against, and the longest time that they may reach, s. Judgement. */
const BESIDE = 8
const BESIDE_S = 2
/** Fewest numbers beside a number that can explain it. Derived: two make a line, and a third can contradict it. */
const LEAST_BESIDE = 4
/** How far from the line beside it a number may be, in median deviations of those beside. Judgement: ramps bend. */
const MOST_DEVIATIONS = 6
/** The same in units of the last digit, where all lie on the line: rounding, and a display that counts by twos or fives. */
const MOST_DIGITS = 3

/**
 * Takes the frames whose number is certain and that the steady motion of a table explains; all others are left out, and
 * none is put right.
 *
 * @param readings in order of time
 */
export function acceptedFrames(readings: readonly FrameReading[]): AcceptedFrame[] {
  return explained(held(withoutMixtures(oneForm(readings))))
}

/** A maker draws 6, 7 and 9 in one way: where both ways were read, those of the rarer one are misread. */
function oneForm(readings: readonly FrameReading[]): FrameReading[] {
  const seen = new Map<string, number>()
  const formsOf = ({ count, places }: FrameReading): string[] =>
    count === null
      ? []
      : places.flatMap((place) =>
          place === null || typeof place === 'string' || place.form === undefined
            ? []
            : [`${place.value} ${place.form}`],
        )
  for (const reading of readings)
    for (const form of formsOf(reading)) seen.set(form, (seen.get(form) ?? 0) + 1)
  const rarer = (form: string): boolean => {
    const other = form.endsWith('usual') ? form.replace('usual', 'other') : form.replace('other', 'usual')
    return (seen.get(other) ?? 0) >= (seen.get(form) ?? 0)
  }
  return readings.map((reading) => (formsOf(reading).some(rarer) ? { ...reading, count: null } : reading))
}

/** Numbers that stand in two frames running: what shows in one alone may be a mixture of an old number and a new one. */
function held(readings: readonly FrameReading[]): AcceptedFrame[] {
  const frameS = frameIntervals(readings)
  const same = (a: FrameReading | undefined, b: FrameReading, intervalS: number): boolean =>
    a !== undefined && a.count === b.count && Math.abs(a.timeS - b.timeS) < NEIGHBOUR * intervalS
  return readings.flatMap((one, index) => {
    const { timeS, count } = one
    if (count === null) return []
    const intervalS = frameS[index]!
    const isHeld = same(readings[index - 1], one, intervalS) || same(readings[index + 1], one, intervalS)
    return isHeld ? [{ timeS, count }] : []
  })
}

/** One number as long as the display showed it. */
interface Shown {
  readonly count: number
  readonly fromS: number
  readonly toS: number
  readonly frames: readonly AcceptedFrame[]
}

/** Numbers that the motion of the table explains, for as long as each was shown. */
function explained(frames: readonly AcceptedFrame[]): AcceptedFrame[] {
  const all = shownNumbers(frames)
  if (all.length === 0) return []
  const frameS = frameInterval(frames)
  const usualS = medianHigh(all.map(({ fromS, toS }) => toS - fromS))
  const slopes = all.map((one, index) => slopeBeside(one, index, all, { frameS, usualS }))
  const found = slopes.filter((slope) => slope !== null)
  if (found.length === 0) return []
  const speed = medianHigh(found)
  // A film shows one travel: what goes the other way is a sign that was not seen.
  const trusted = slopes.map((slope) => slope !== null && slope * speed > 0)
  // From where the motion is known outward: ramps and rests lie on no line, yet no table jumps.
  const reaches = (from: Shown, to: Shown): boolean => {
    const [first, second] = from.fromS < to.fromS ? [from, to] : [to, from]
    const forS = Math.min(second.fromS - first.fromS, second.fromS - first.toS + usualS + frameS) + frameS
    const way = (second.count - first.count) * Math.sign(speed)
    return way >= -MOST_DIGITS && way <= MOST_DIGITS + FASTEST * Math.abs(speed) * forS
  }
  const grow = (order: readonly number[]): void => {
    let last: number | null = null
    for (const index of order) {
      if (!trusted[index] && last !== null) {
        const ahead = order.slice(order.indexOf(index) + 1).find((other) => trusted[other])
        trusted[index] =
          reaches(all[last]!, all[index]!) && (ahead === undefined || reaches(all[index]!, all[ahead]!))
      }
      if (trusted[index]) last = index
    }
  }
  const order = [...all.keys()]
  grow(order)
  grow(order.toReversed())
  return all.filter((_, index) => trusted[index]).flatMap((one) => one.frames)
}

/** Speed of the table about a number that lies on the line through those beside it, digits a second; null where it does not. */
function slopeBeside(
  one: Shown,
  index: number,
  all: readonly Shown[],
  { frameS, usualS }: { readonly frameS: number; readonly usualS: number },
): number | null {
  const beside = [
    ...all.slice(Math.max(0, index - BESIDE), index),
    ...all.slice(index + 1, index + 1 + BESIDE),
  ].filter(({ fromS }) => Math.abs(fromS - one.fromS) < BESIDE_S)
  // A number that stays for long is no part of a steady motion.
  const isLong = ({ fromS, toS }: Shown): boolean => toS - fromS > 3 * usualS + frameS
  if (beside.length < LEAST_BESIDE || isLong(one)) return null
  const slope = medianHigh(
    beside.flatMap((a, i) => beside.slice(i + 1).map((b) => (b.count - a.count) / (b.fromS - a.fromS))),
  )
  const off = beside.map(({ fromS, count }) => count - one.count - slope * (fromS - one.fromS))
  const middle = medianHigh(off)
  const spread = medianHigh(off.map((value) => Math.abs(value - middle)))
  const most = MOST_DIGITS + Math.abs(slope) * frameS + MOST_DEVIATIONS * spread
  return Math.abs(middle) <= most ? slope : null
}

function shownNumbers(frames: readonly AcceptedFrame[]): Shown[] {
  const shown: { count: number; fromS: number; toS: number; frames: AcceptedFrame[] }[] = []
  for (const frame of frames) {
    const last = shown.at(-1)
    if (last === undefined || last.count !== frame.count)
      shown.push({ count: frame.count, fromS: frame.timeS, toS: frame.timeS, frames: [frame] })
    else {
      last.toS = frame.timeS
      last.frames.push(frame)
    }
  }
  return shown
}

/**
 * Longest time between two positions of a number that stays, s. Judgement: a table at rest is then seen to rest, as by a
 * readout that sends ten lines a second.
 */
const AGAIN_AFTER_S = 0.1
/** Share of the time from change to change that may be missing before a number: no other number fits in there. */
const UNSEEN = 0.9
/** Changes of the display for which a number stays before it is given again. Judgement: until then one may be missed. */
const STAYS = 3

/**
 * When the display came to show each number: half way between the last frame of the number before and the first of its
 * own, where no other number fits in between; and again every tenth of a second where it stays, as at rest. All stamps
 * are late by the same lag of the display, which a feed does not feel.
 */
export function filmPositions(frames: readonly AcceptedFrame[]): AcceptedFrame[] {
  const shown = shownNumbers(frames)
  const frameS = new Map(frameIntervals(frames).map((intervalS, index) => [frames[index]!.timeS, intervalS]))
  const closeS = shown.map(({ fromS }) => (1 + NEIGHBOUR) * frameS.get(fromS)!)
  const gaps = shown.map(({ fromS }, index) => (index === 0 ? closeS[0]! : fromS - shown[index - 1]!.toS))
  const refreshS = displayInterval(
    shown,
    gaps.map((gapS, index) => gapS <= closeS[index]!),
  )
  return shown.flatMap(({ count, fromS, toS, frames: own }, index) => {
    const isSeen = index > 0 && gaps[index]! <= Math.max(closeS[index]!, UNSEEN * refreshS)
    const times = isSeen ? [fromS - gaps[index]! / 2] : []
    if (toS - fromS > STAYS * refreshS) {
      for (const { timeS } of own)
        if (timeS - (times.at(-1) ?? Number.NEGATIVE_INFINITY) >= AGAIN_AFTER_S) times.push(timeS)
    }
    return times.map((timeS) => ({ timeS, count }))
  })
}

/**
 * Time from change to change of the display, s: the shorter of those that were seen.
 *
 * @param isSeen whether the change to each number was
 */
function displayInterval(shown: readonly Shown[], isSeen: readonly boolean[]): number {
  const between = shown
    .slice(1)
    .flatMap(({ fromS }, index) =>
      isSeen[index]! && isSeen[index + 1]! ? [fromS - shown[index]!.fromS] : [],
    )
  // A display whose changes are never seen sharply fades for a part of each.
  const all = between.length > 0 ? between : shown.slice(1).map(({ fromS }, i) => fromS - shown[i]!.fromS)
  return all.toSorted((a, b) => a - b)[Math.floor(all.length / 4)] ?? 0
}

/** Time from frame to frame, s: the shorter of the usual steps, since frames may be missing. */
function frameInterval(frames: readonly { readonly timeS: number }[]): number {
  const steps = frames.slice(1).map(({ timeS }, index) => timeS - frames[index]!.timeS)
  return steps.toSorted((a, b) => a - b)[Math.floor(steps.length / 4)] ?? 0
}

/** Frames on each side that tell how fast a phone filmed just then: it slows down in the dark. Judgement: a third of a second. */
const ABOUT = 8

/** The same about each frame, s. */
function frameIntervals(frames: readonly { readonly timeS: number }[]): number[] {
  return frames.map((_, index) => frameInterval(frames.slice(Math.max(0, index - ABOUT), index + ABOUT + 1)))
}
