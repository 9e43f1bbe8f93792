import type { Direction } from '../../traverse/index.js'
import { parseDirection } from '../options.js'
import type { ConditionOptions, LineOptions } from '../traverse/options.js'

/** Options of `recheck`. */
export interface RecheckOptions extends LineOptions, ConditionOptions {
  readonly within?: string
  readonly reason?: string
  readonly from: readonly string[]
  readonly runs?: string
  readonly stopwatch?: boolean
  readonly sweep?: boolean
  readonly distance?: string
  readonly markEvery?: string
  readonly direction?: string
  readonly adopt?: boolean
  readonly plan?: boolean
  readonly new?: boolean
}

/** The directions that are meant: one, or `both`; null where nothing says so. */
export function parseDirections(text: string | undefined): readonly Direction[] | null {
  if (text === undefined) return null
  return text === 'both' ? [1, -1] : [parseDirection(text)]
}
