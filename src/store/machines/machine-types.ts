import type { DialWriting, LengthUnit, MachineUnit, SpindleSpeed } from '../../units/index.js'

export interface NewMachine {
  /** Unique (capitals aside) among the machines that are not removed. */
  readonly name: string
  readonly unit: MachineUnit
  /** Spindle speeds the machine has, rpm; empty where unknown. */
  readonly spindleRpm: readonly SpindleSpeed[]
  /** Power of the spindle motor, W; null or left out where unknown. */
  readonly motorPowerW?: number | null
}

export interface Machine extends NewMachine {
  readonly motorPowerW: number | null
  readonly id: number
  /** ISO 8601, UTC, like every time here. */
  readonly createdAt: string
  readonly removedAt: string | null
}

export interface NewAxis extends DialWriting {
  readonly name: string
  readonly travelMm: number
  readonly dialMin: number
  readonly dialMax: number
  /** Marks on the dial, rising; empty where none were named. */
  readonly marks: readonly number[]
  /** True where the dial has only its marks and nothing between. */
  readonly stepped: boolean
  readonly leadscrewPitchMm: number | null
  /** True where the dial clicks into place or is digital, so that setting it again adds no scatter. */
  readonly dialClicks: boolean
  /** Which way the table goes in each direction; null or left out where it was not told. */
  readonly ways?: DirectionWays | null
  /** How hard the feed drive pushes, N; null or left out where it was not told. */
  readonly pushN?: number | null
  /** True where the axis turns: then its travel and feeds are degrees. Left out for a straight one. */
  readonly rotary?: boolean
  /** Where the axis is one range of a dial that has several: which one, of which axis. */
  readonly range?: AxisRange
}

/** One range of a dial that has several, such as HI of X. Each is an axis of its own, here X-HI. */
interface AxisRange {
  /** What the axis is called without its range. */
  readonly of: string
  readonly name: string
}

/** What the user calls the two directions of an axis, such as left and right. */
export interface DirectionWays {
  readonly plus: string
  readonly minus: string
}

export interface Axis extends NewAxis {
  readonly rotary: boolean
  /** What its travel and feeds are shown in, and what bare numbers are: the machine's unit, or degrees. */
  readonly unit: LengthUnit
  readonly ways: DirectionWays | null
  readonly pushN: number | null
  readonly id: number
  readonly machineId: number
  readonly createdAt: string
  readonly removedAt: string | null
}

export interface MachineAxis {
  readonly machine: Machine
  readonly axis: Axis
}
