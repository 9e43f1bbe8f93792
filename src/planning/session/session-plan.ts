import { sentence, UsageError, way } from '../../errors/index.js'
import type { Direction } from '../../traverse/index.js'
import { type DialWriting, writeDial } from '../../units/index.js'

/** How a whole calibration goes, read from data. */
export interface Procedure {
  readonly name: string
  readonly title: string
  /** `axis` for the axis' own marks, or dial numbers. */
  readonly marks: 'axis' | readonly number[]
  /** Order of the marks in each pass. */
  readonly passes: readonly ('up' | 'down')[]
  readonly directions: readonly ('+' | '-')[]
  readonly source: 'readout' | 'stopwatch'
  /** A traverse should take at least this long, s, where the travel allows. */
  readonly minimumTravelTimeS: number
  /** And so many turns of the leadscrew; left out for none. */
  readonly minimumTurns?: number
  /** No traverse takes more than this share of the axis' travel, 0…1. */
  readonly longestTravelShare: number
  /** Rest before and after each traverse, s. */
  readonly restS: number
  /** Whether the dial is turned away and set anew before each run. */
  readonly resetDial: boolean
  /** Shown before the session starts, one sentence each. */
  readonly cautions: readonly string[]
}

/** What of an axis the plan depends on. */
export interface PlannedAxis extends DialWriting {
  readonly marks: readonly number[]
  readonly dialMin: number
  readonly dialMax: number
  readonly stepped: boolean
}

/** One traverse to be made. */
export interface PlanStep {
  /** From 1, in the order to be made. */
  readonly step: number
  readonly dial: number
  readonly direction: Direction
  /** From 1. */
  readonly pass: number
}

export interface SessionPlan {
  readonly procedure: string
  readonly steps: readonly PlanStep[]
}

/**
 * Ordered steps of a procedure on an axis: pass by pass over all marks, because going mark by mark would turn the
 * warming of the drive into a false shape of the curve; at each mark every direction in turn.
 *
 * @throws UsageError `no-marks` where neither procedure nor axis names any, `mark-outside-dial`, `not-a-mark` for a
 *   number that a stepped dial does not have
 */
export function planSession(procedure: Procedure, axis: PlannedAxis): SessionPlan {
  const marks = marksOf(procedure, axis)
  const steps = procedure.passes.flatMap((order, index) =>
    (order === 'up' ? marks : marks.toReversed()).flatMap((dial) =>
      procedure.directions.map((sign) => ({
        dial,
        direction: sign === '+' ? (1 as const) : (-1 as const),
        pass: index + 1,
      })),
    ),
  )
  return {
    procedure: procedure.name,
    steps: steps.map((step, index) => ({ step: index + 1, ...step })),
  }
}

/**
 * Ordered steps of so many runs at each dial: pass by pass over the dials that still want one, up, down and up again.
 */
export function recheckSteps(
  runs: readonly { readonly dial: number; readonly runs: number }[],
  directions: readonly Direction[],
): Pick<SessionPlan, 'steps'> {
  const rising = [...runs].sort((a, b) => a.dial - b.dial)
  const passes = Math.max(...runs.map((one) => one.runs))
  const steps = Array.from({ length: passes }, (_, index) => {
    const wanted = rising.filter((one) => one.runs > index)
    const order = index % 2 === 0 ? wanted : wanted.toReversed()
    return order.flatMap(({ dial }) => directions.map((direction) => ({ dial, direction, pass: index + 1 })))
  }).flat()
  return { steps: steps.map((step, index) => ({ step: index + 1, ...step })) }
}

/** The first step not done yet, or null when all are. */
export function nextStep(plan: SessionPlan, doneSteps: readonly number[]): PlanStep | null {
  const done = new Set(doneSteps)
  return plan.steps.find((step) => !done.has(step.step)) ?? null
}

function marksOf(procedure: Procedure, axis: PlannedAxis): number[] {
  const asked = procedure.marks === 'axis' ? axis.marks : procedure.marks
  const marks = [...new Set(asked)].sort((a, b) => a - b)
  if (marks.length === 0) {
    throw new UsageError(
      'no-marks',
      `Procedure ${procedure.name} goes through the marks of the axis, and none are entered.`,
      sentence`Name them${way('enter-marks')}.`,
    )
  }
  const outside = marks.find((mark) => !(mark >= axis.dialMin && mark <= axis.dialMax))
  if (outside !== undefined) {
    throw new UsageError(
      'mark-outside-dial',
      `Mark ${writeDial(outside, axis)} of procedure ${procedure.name} lies outside the dial, which goes from ${writeDial(axis.dialMin, axis)} to ${writeDial(axis.dialMax, axis)}.`,
      'Use a procedure whose marks are on the dial.',
    )
  }
  const between = axis.stepped ? marks.find((mark) => !axis.marks.includes(mark)) : undefined
  if (between !== undefined) {
    throw new UsageError(
      'not-a-mark',
      `Mark ${writeDial(between, axis)} of procedure ${procedure.name} is not on this stepped dial: ${axis.marks.map((mark) => writeDial(mark, axis)).join(', ')}.`,
      'Use a procedure whose marks are on the dial.',
    )
  }
  return marks
}
