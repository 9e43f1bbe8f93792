import {
  type DialWriting,
  FULL_TURN_DEG,
  fromMm,
  type LengthUnit,
  MM_PER_INCH,
  unitWord,
} from '../../units/index.js'
import type { Contradiction } from './contradiction.js'
import type { Reading } from './scale-factors.js'

/**
 * Travels up to this share beyond what the axis is said to have are let pass: makers round the figure, and stops can be
 * set out. Common practice, no source.
 */
const TRAVEL_ALLOWANCE = 0.05

/** Share of a travel that four shown digits do not show. Derived: half of the last of them. */
const ROUNDING = 0.0005

/**
 * Travels of power feeds, mm, that are asked about below and above. From memory: a short quill has 75 mm and a long bed
 * 2 m; the least that is usual would be 1.9 m where mm are taken for inches, and 24 in become 24 mm the other way.
 */
const USUAL_TRAVEL_MM = { from: 50, to: 2500 }

/** The unit that an entered travel was more likely meant in; null where it is usual as it stands. */
export function travelMeantIn(travelMm: number, unit: LengthUnit): 'in' | 'mm' | null {
  if (unit === 'deg') return null
  if (travelMm > USUAL_TRAVEL_MM.to) return 'mm'
  return travelMm < USUAL_TRAVEL_MM.from ? 'in' : null
}

/** An axis as far as a run can contradict it. */
export interface AxisLimits extends DialWriting {
  readonly name: string
  readonly travelMm: number
  readonly unit: LengthUnit
}

/** Whether a table on this axis cannot have gone so far; one that turns the whole way round goes on without an end. */
export function isBeyondTravel(
  distanceMm: number,
  { travelMm, unit }: Pick<AxisLimits, 'travelMm' | 'unit'>,
): boolean {
  if (unit === 'deg' && travelMm >= FULL_TURN_DEG) return false
  return distanceMm > travelMm * (1 + TRAVEL_ALLOWANCE)
}

/** The warning of a run that is let pass although it goes beyond the travel that was entered; null where it does not. */
export function beyondEnteredTravel(
  distanceMm: number,
  axis: AxisLimits,
): { readonly code: 'beyond-travel'; readonly message: string } | null {
  const isEndless = axis.unit === 'deg' && axis.travelMm >= FULL_TURN_DEG
  if (isEndless || distanceMm <= axis.travelMm * (1 + ROUNDING)) return null
  return {
    code: 'beyond-travel',
    message: `${lengthText(distanceMm, axis.unit)} is a little more than ${entered(axis)}. Check the distance, or correct the travel of the axis.`,
  }
}

/** A travel longer than the axis has, with what the numbers probably are; null where the axis has it. */
export function beyondTravel(distanceMm: number, axis: AxisLimits, reading: Reading): Contradiction | null {
  if (!isBeyondTravel(distanceMm, axis)) return null
  const far = lengthText(distanceMm, axis.unit)
  return {
    code: 'beyond-travel',
    message: `${far} is more than ${entered(axis)}; ${likely(distanceMm, axis, reading)}.`,
    ofReadout: reading.source === 'readout' && reading.basis !== 'lines',
  }
}

function entered({ name, travelMm, unit }: AxisLimits): string {
  return `the ${lengthText(travelMm, unit)} of travel that axis ${name} has`
}

function likely(
  distanceMm: number,
  axis: AxisLimits,
  { source, unit, countLengthMm, basis }: Reading,
): string {
  const fits = (lengthMm: number) => !isBeyondTravel(lengthMm, axis)
  if (source === 'stopwatch') {
    const number = short(fromMm(distanceMm, axis.unit))
    if (axis.unit === 'in' && fits(distanceMm / MM_PER_INCH))
      return `if you mean millimetres, write ${number}mm`
    return 'check the distance, and its decimal point'
  }
  if (basis === 'lines') return 'the lines carry their unit, so look for a scale factor set in the readout'
  if (countLengthMm !== null) return 'the length of one count is probably not what was given'
  if (unit === 'in' && fits(distanceMm / MM_PER_INCH)) {
    return 'the numbers of this readout are probably mm, not inches: give their unit'
  }
  return `the numbers of this readout are probably counts of its scale, not ${unitWord(unit)}: give the length of one count`
}

/** A length as it is spoken: four digits, none that are zero. */
function lengthText(lengthMm: number, unit: LengthUnit): string {
  return `${short(fromMm(lengthMm, unit))} ${unit}`
}

function short(value: number): string {
  return String(Number(value.toPrecision(4)))
}

/** As `beyondTravel`, of a distance that is to be timed with a stopwatch. */
export function stopwatchBeyondTravel(distanceMm: number, axis: AxisLimits): Contradiction | null {
  return beyondTravel(distanceMm, axis, {
    source: 'stopwatch',
    unit: axis.unit,
    countLengthMm: null,
    basis: 'said',
  })
}
