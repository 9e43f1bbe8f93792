import type { MeasuredReadout, ReadoutProfile } from '../profiles/readout-profile.js'
import type { SerialLinkSettings } from './learn-framing.js'
import type { FittedScale } from './learn-scale.js'
import type { LearnedColumn, LearnedShape } from './learn-shape.js'

/** Everything that was learned about a readout. */
interface LearnedReadout {
  readonly name: string
  /** The machine's name of the axis, or `*` for any. */
  readonly axis: string
  readonly link: SerialLinkSettings
  readonly shape: LearnedShape
  readonly column: LearnedColumn
  /** Null where lines carry their unit, or no known move was made. */
  readonly scale: FittedScale | null
  readonly measured: MeasuredReadout | null
}

/** Writes what was learned as a readout profile. */
export function learnedProfile({
  name,
  axis,
  link,
  shape,
  column,
  scale,
  measured,
}: LearnedReadout): ReadoutProfile {
  const clock = shape.columns.find((one) => one.skeleton === column.skeleton && one.role === 'clock')
  const unit = shape.unit !== null ? 'line' : (scale?.unit ?? 'bare')
  return {
    name,
    description: `Learned by listening: the position is ${placeText(column)}.`,
    examples: shape.examples,
    axes: [{ axis, ...placeOf(column) }],
    decimalMark: shape.decimalMark === ',' ? 'comma' : 'point',
    separators: shape.separators.filter((mark) => mark !== shape.decimalMark),
    unit,
    ...(unit === 'counts' && scale !== null ? { countLengthMm: scale.mmPerNumber } : {}),
    ...(clock === undefined
      ? {}
      : { deviceTime: { ...placeOf(clock), unit: clock.clockUnit ?? 'ms', bits: clock.clockBits } }),
    serial: link,
    ...(measured === null ? {} : { measured }),
  }
}

function placeOf({ label, column }: LearnedColumn): { readonly label: string } | { readonly column: number } {
  return label === null ? { column } : { label }
}

function placeText({ label, column }: LearnedColumn): string {
  return label === null ? `in column ${column}` : `behind the label ${label}`
}
