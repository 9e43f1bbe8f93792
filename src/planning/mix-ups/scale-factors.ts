import { type LengthUnit, MM_PER_INCH, unitWord } from '../../units/index.js'

/** How the numbers of a run were turned into lengths. */
export interface Reading {
  readonly source: 'readout' | 'stopwatch'
  /** Unit that bare numbers were taken in. */
  readonly unit: LengthUnit
  /** The numbers were taken as counts of this length, mm; null where as lengths. */
  readonly countLengthMm: number | null
  /**
   * Where unit or count length come from: `assumed` from the machine, `said` by a person or a file, `lines` where the
   * lines carry their unit, `moved` where a known move of the table showed it.
   */
  readonly basis: 'assumed' | 'said' | 'lines' | 'moved'
}

/** A mix-up that would make a feed wrong by a factor. */
export interface MixUp {
  /** The feed as it was read, over the true one. */
  readonly factor: number
  /** A part of a sentence: what the numbers probably are. */
  readonly cause: string
  /** Whether all numbers of that readout would be wrong alike. */
  readonly ofReadout: boolean
}

/** Lengths of one count, metric and inch, mm (common practice, no source). */
const COUNT_LENGTHS_MM = [
  0.001,
  0.002,
  0.005,
  0.01,
  ...[0.0001, 0.0002, 0.0005].map((inch) => inch * MM_PER_INCH),
]

/**
 * What may be wrong with a feed, beside the scale of the numbers: factors exact by definition of the units and of
 * a decimal place.
 */
const OTHER_FACTORS: readonly MixUp[] = [
  { factor: 10, cause: 'a decimal point is one place off', ofReadout: false },
  { factor: 1 / 10, cause: 'a decimal point is one place off', ofReadout: false },
  {
    factor: 1000,
    cause: 'micrometres were taken as millimetres, or a decimal point is three places off',
    ofReadout: false,
  },
  { factor: 1 / 1000, cause: 'times in milliseconds were taken as seconds', ofReadout: false },
  { factor: 60, cause: 'a time in minutes was taken as seconds', ofReadout: false },
  { factor: 1 / 60, cause: 'a time in seconds was taken as minutes', ofReadout: false },
]

/** Every factor that a usual mix-up makes of a feed that was read in this way, the most usual first. */
export function usualMixUps({ source, unit, countLengthMm }: Reading): readonly MixUp[] {
  // Degrees are taken for nothing else.
  if (unit === 'deg') return OTHER_FACTORS
  const other: LengthUnit = unit === 'in' ? 'mm' : 'in'
  const ofReadout = source === 'readout'
  if (countLengthMm !== null) {
    return [
      { factor: MM_PER_INCH, cause: 'the length of one count is in mm and was taken as inches', ofReadout },
      {
        factor: 1 / MM_PER_INCH,
        cause: 'the length of one count is in inches and was taken as mm',
        ofReadout,
      },
      { factor: countLengthMm, cause: 'the numbers are mm and not counts', ofReadout },
      { factor: countLengthMm / MM_PER_INCH, cause: 'the numbers are inches and not counts', ofReadout },
      ...OTHER_FACTORS,
    ]
  }
  const mmPerNumber = unit === 'in' ? MM_PER_INCH : 1
  const swapped = `the numbers are ${unitWord(other)} and were taken as ${unitWord(unit)}`
  const otherWay = `numbers in ${unitWord(unit)} were taken as ${unitWord(other)} before`
  const bigger = { factor: MM_PER_INCH, cause: unit === 'in' ? swapped : otherWay, ofReadout }
  const smaller = { factor: 1 / MM_PER_INCH, cause: unit === 'in' ? otherWay : swapped, ofReadout }
  const counts = COUNT_LENGTHS_MM.map((lengthMm) => ({
    factor: mmPerNumber / lengthMm,
    cause: `the numbers are counts of the scale and were taken as ${unitWord(unit)}`,
    ofReadout,
  }))
  return [bigger, smaller, ...OTHER_FACTORS, ...(source === 'readout' ? counts : [])]
}
