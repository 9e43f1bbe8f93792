import type { Axis } from '../../store/index.js'
import type { LengthUnit } from '../../units/index.js'

/** The unit that a page asks for, where the axis can be shown in it; else the one of the axis. */
export function unitShown(asked: string | null, { rotary, unit }: Axis): LengthUnit {
  return !rotary && (asked === 'in' || asked === 'mm') ? asked : unit
}
