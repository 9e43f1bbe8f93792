import { filmTiming } from '../../src/jobs/record/film-timing.js'
import { judgeReadings, timedEntry, timedMarks } from '../../src/jobs/record/timed-entry.js'
import {
  lastDigitMm,
  refreshOf,
  type TypedReading,
  typedReading,
} from '../../src/page/client/film/reading.js'
import {
  type SeededRandom,
  seededRandom,
  type TableMotion,
  traverseMotion,
} from '../../src/simulation/index.js'
import { type LengthUnit, MM_PER_INCH } from '../../src/units/index.js'
import { drawnMill, logUniform, pick } from './machines/drawn-mill.js'

/** What a film is drawn with; what is left out is drawn too. */
interface DrawnFilm {
  readonly readings: number
  /** Whoever reads it looks for two changes of the display, one after the other. */
  readonly seesChanges: boolean
  /** Changes of the display a second. */
  readonly refreshHz?: number
  readonly framesPerS?: number
  /** When the first reading is taken, s after the start, where it is taken too early; less than 0 while the table rests. */
  readonly firstS?: number
}

/** Frames a second that phones film with; 29.97 as many do. */
export const FRAMES_PER_S = [24, 25, 29.97, 30, 50, 60] as const
/** Changes a second of the slowest and the fastest display. */
const REFRESH_HZ = [5, 30] as const
/** What a change of the last figures shown is worth, as written with their decimals: readouts count by ones or by fives. */
const RESOLUTIONS = [
  { unit: 'mm', step: 0.01, decimals: 2 },
  { unit: 'mm', step: 0.005, decimals: 3 },
  { unit: 'in', step: 0.001, decimals: 3 },
  { unit: 'in', step: 0.0005, decimals: 4 },
] as const
/** Frames on which a person looks for sharp figures before taking what there is. */
const FRAMES_LOOKED_AT = 10

/** What came of a film: the run's true feed, and its interval; null where the readings were taken for unsteady. */
interface FilmByHand {
  readonly feedMmPerMin: number
  readonly interval95MmPerMin: readonly [number, number] | null
  /** A slow end was told. */
  readonly slowEnd: boolean
}

/**
 * A traverse whose readout was filmed, a few frames of it read by a person who follows the page: the first three seconds or
 * more after the start, the last before the feed is stopped, the others anywhere between, on sharp frames. Some phones
 * leave out frames; some leadscrews ripple.
 */
function filmByHand(drawn: DrawnFilm, seed: number): FilmByHand {
  const random = seededRandom(seed)
  const mill = drawnMill('stepped', seed)
  const feedMmPerMin = logUniform(random, 12, 500)
  const motion = traverseMotion({
    ...{ ...mill, feedMmPerMin, direction: 1, startMm: 100 * random.uniform(), event: null },
    drivenMm: (feedMmPerMin / 60) * (22 + 23 * random.uniform()),
    ...{ restBeforeS: 2, restAfterS: 2 },
  })
  const { startS, driveOffS } = motion.phases!
  const display = shownBy(motion, drawn.refreshHz ?? logUniform(random, ...REFRESH_HZ), random)
  const film = filmed(motion.durationS, drawn.framesPerS ?? pick(random, FRAMES_PER_S), random)

  const fromS = startS + 3 + random.uniform()
  const toS = driveOffS - 0.5 - random.uniform()
  const readings = Array.from({ length: drawn.readings }, (_, i) => {
    const isBetween = i > 0 && i < drawn.readings - 1
    const place = i + (isBetween ? 0.6 * (random.uniform() - 0.5) : 0)
    if (i === 0 && drawn.firstS !== undefined) return readAt(startS + drawn.firstS, film, display)
    return readAt(fromS + ((toS - fromS) * place) / (drawn.readings - 1), film, display)
  })
  const seenS = drawn.seesChanges ? refreshOf(changesFrom(fromS + 1, film, display)) : null
  const frameS = film.usualS
  const timing = filmTiming({ frameS, framesTold: true, refreshS: seenS, refreshSeen: seenS !== null })
  const positionLastDigitMm = lastDigitMm(readings, display.unit)
  const entry = timedEntry({
    ...{ dial: 1, direction: 1, readings, timeLastDigitS: 0.001, positionLastDigitMm, note: '' },
  })
  const { feed, warnings } = judgeReadings(entry, timedMarks(entry)!, timing, null)
  const slowEnd = warnings.some(({ code }) => code === 'readings-slow-end')
  return { feedMmPerMin, interval95MmPerMin: feed?.interval95MmPerMin ?? null, slowEnd }
}

interface Display {
  readonly unit: LengthUnit
  /** As it is written. */
  shown(timeS: number): string
}

/** A display that changes so often, each time to where the table is then. */
function shownBy(motion: TableMotion, refreshHz: number, random: SeededRandom): Display {
  const { unit, step, decimals } = pick(random, RESOLUTIONS)
  const shift = random.uniform()
  const perUnit = unit === 'in' ? MM_PER_INCH : 1
  return {
    unit,
    shown: (timeS) => {
      const changedS = (Math.floor(timeS * refreshHz + shift) - shift) / refreshHz
      return (step * Math.round(motion.positionMmAt(changedS) / perUnit / step)).toFixed(decimals)
    },
  }
}

interface Film {
  /** When each frame began, s. */
  readonly timesS: readonly number[]
  readonly usualS: number
  readonly exposureS: number
}

function filmed(durationS: number, framesPerS: number, random: SeededRandom): Film {
  const leavesOut = random.uniform() < 0.3 ? 0.2 : 0
  const timesS: number[] = []
  for (let frame = random.uniform(); frame < durationS * framesPerS; frame += 1) {
    if (random.uniform() >= leavesOut) timesS.push(frame / framesPerS)
  }
  return { timesS, usualS: 1 / framesPerS, exposureS: (0.15 + 0.8 * random.uniform()) / framesPerS }
}

/** Reads the display at the first sharp frame from a time on: one that no change was caught on. */
function readAt(fromS: number, { timesS, exposureS }: Film, { unit, shown }: Display): TypedReading {
  const at = timesS.findIndex((timeS) => timeS >= fromS)
  const looked = timesS.slice(at, at + FRAMES_LOOKED_AT)
  const timeS = looked.find((one) => shown(one) === shown(one + exposureS)) ?? looked.at(-1)!
  return typedReading(shown(timeS), timeS, unit)
}

/** The first two frames from a time on that show another number than the frame before. */
function changesFrom(fromS: number, { timesS, exposureS }: Film, { shown }: Display): number[] {
  const at = timesS.findIndex((timeS) => timeS >= fromS)
  const ends = (timeS: number): string => shown(timeS + exposureS)
  return timesS
    .slice(at)
    .filter((timeS, i) => ends(timeS) !== ends(timesS[at + i - 1]!))
    .slice(0, 2)
}

/** How films of one kind came out. */
interface FilmsByHand {
  readonly films: number
  readonly unsteady: number
  readonly held: number
  /** Films of which a slow end was told. */
  readonly slowEnd: number
  /** Films that were neither refused nor told of, and did not hold. */
  readonly wrongInSilence: number
  /** Half width of the interval over the feed, %: the one in the middle. */
  readonly halfWidthPercent: number
}

/** So many films of one kind, each from a seed of its own. */
export function filmsByHand(drawn: DrawnFilm, films: number, seed: number): FilmsByHand {
  const made = Array.from({ length: films }, (_, i) => filmByHand(drawn, seed + i))
  const counted = made.flatMap(({ feedMmPerMin, interval95MmPerMin: interval }) =>
    interval === null ? [] : [{ feedMmPerMin, interval }],
  )
  const held = counted.filter(
    ({ feedMmPerMin, interval: [low, high] }) => low <= feedMmPerMin && feedMmPerMin <= high,
  )
  const halfWidths = counted
    .map(({ feedMmPerMin, interval: [low, high] }) => (50 * (high - low)) / feedMmPerMin)
    .toSorted((a, b) => a - b)
  return {
    films,
    unsteady: films - counted.length,
    held: held.length,
    slowEnd: made.filter((one) => one.slowEnd).length,
    wrongInSilence: made.filter(
      ({ feedMmPerMin, interval95MmPerMin: interval, slowEnd }) =>
        !slowEnd && interval !== null && !(interval[0] <= feedMmPerMin && feedMmPerMin <= interval[1]),
    ).length,
    halfWidthPercent: halfWidths[Math.floor(halfWidths.length / 2)] ?? Number.NaN,
  }
}
