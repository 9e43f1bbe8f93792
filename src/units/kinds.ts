import { FULL_TURN_DEG, type LengthUnit, MM_PER_INCH } from './length.js'

/** A unit that others may follow. */
interface UnitPart {
  /** Finds a number in this unit, and the rest that follows it. */
  readonly pattern: RegExp
  readonly size: number
  /** The unit of the rest where it names none. */
  readonly smaller: string
}

/** How one kind of travel is written, along a straight axis or round one that turns. */
export interface UnitKind {
  /** What each unit is worth inside, by its name: mm, or degrees (exact by definition). */
  readonly size: Readonly<Record<string, number>>
  /** Numbers with a unit each that stand together, such as feet and inches. */
  readonly parts: readonly UnitPart[]
  /** Feeds that have a short name. */
  readonly shortFeeds: Readonly<Record<string, string>>
  readonly taken: string
  readonly feedsTaken: string
  readonly feedsPerTurnTaken: string
  readonly other: () => UnitKind
}

const LENGTHS: UnitKind = {
  size: {
    in: MM_PER_INCH,
    inch: MM_PER_INCH,
    inches: MM_PER_INCH,
    '"': MM_PER_INCH,
    thou: MM_PER_INCH / 1000,
    ft: 12 * MM_PER_INCH,
    foot: 12 * MM_PER_INCH,
    feet: 12 * MM_PER_INCH,
    "'": 12 * MM_PER_INCH,
    um: 0.001,
    mm: 1,
    cm: 10,
    m: 1000,
  },
  parts: [
    {
      pattern: /^([^a-z'′’°º]+?)\s*(?:ft\.?|foot|feet|['′’])\s*-?\s*(\d.*)$/i,
      size: 12 * MM_PER_INCH,
      smaller: 'in',
    },
  ],
  shortFeeds: { ipm: 'in/min', ips: 'in/s', fpm: 'ft/min', ipr: 'in/rev' },
  taken: 'Lengths are read as 6in, 6", 1\' 6", 20thou, 150mm, 15cm or 0.15m.',
  feedsTaken:
    'Feeds are read in in/min, ft/min, in/s, mm/min, cm/min, m/min and mm/s, such as 7.2in/min or 180mm/min.',
  feedsPerTurnTaken:
    'With a spindle speed feeds are also read in in/rev and mm/rev, such as 0.005in/rev or 0.12mm/rev.',
  other: () => ANGLES,
}

/** Minutes and seconds of arc are sixtieths (SI brochure, 9th edition, 2019, table 8). */
const ARC_MINUTE = 1 / 60

export const ANGLES: UnitKind = {
  size: {
    deg: 1,
    degs: 1,
    degree: 1,
    degrees: 1,
    '°': 1,
    arcmin: ARC_MINUTE,
    "'": ARC_MINUTE,
    arcsec: ARC_MINUTE / 60,
    '"': ARC_MINUTE / 60,
    rev: FULL_TURN_DEG,
    revs: FULL_TURN_DEG,
    revolution: FULL_TURN_DEG,
    revolutions: FULL_TURN_DEG,
    turn: FULL_TURN_DEG,
    turns: FULL_TURN_DEG,
  },
  parts: [
    { pattern: /^([^a-z'′’°º]+?)\s*(?:degrees?|degs?|°|º)\s*(\d.*)$/i, size: 1, smaller: "'" },
    { pattern: /^([^a-z'′’°º]+?)\s*(?:arcmin|['′’])\s*(\d.*)$/i, size: ARC_MINUTE, smaller: '"' },
  ],
  shortFeeds: { rpm: 'rev/min' },
  taken: `Angles are read as 90deg, 90°, 12° 30' 15", 0.25rev or 0.25turn.`,
  feedsTaken:
    'Feeds of an axis that turns are read in deg/min, deg/s and rev/min, such as 30deg/min or 0.5rev/min.',
  feedsPerTurnTaken: 'With a spindle speed they are also read in deg/rev, such as 0.2deg/rev.',
  other: () => LENGTHS,
}

/** The kind of travel that is measured in `unit`. */
export function kindOf(unit: LengthUnit): UnitKind {
  return unit === 'deg' ? ANGLES : LENGTHS
}
