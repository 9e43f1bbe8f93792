import { UsageError } from '../../errors/index.js'
import type { Direction } from '../../traverse/index.js'
import { parseNumber } from '../../units/index.js'
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

/** Widest tolerance, percent. Judgement: a wider one says nothing of a feed. */
const WIDEST_PERCENT = 50

/** A percentage, with or without its sign. @throws UsageError `bad-percent` */
export function parsePercent(text: string, what: string): number {
  const value = parseNumber(text.replace(/\s*%\s*$/, ''), what)
  if (value > 0 && value <= WIDEST_PERCENT) return value
  throw new UsageError(
    'bad-percent',
    `${what}: ${text} is not between 0 and ${WIDEST_PERCENT} percent.`,
    'Write it like 3 or 3%.',
  )
}

/** The directions that are meant: one, or `both`; null where nothing says so. */
export function parseDirections(text: string | undefined): readonly Direction[] | null {
  if (text === undefined) return null
  return text === 'both' ? [1, -1] : [parseDirection(text)]
}
