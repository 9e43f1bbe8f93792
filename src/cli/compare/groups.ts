import { UsageError } from '../../errors/index.js'
import type { GroupOfRuns } from '../../jobs/index.js'
import type { RunFilter } from '../../store/index.js'
import { parseDate, parseDirection, parseTags } from '../options.js'

/** Options that say which two groups are meant, and what both must fulfil. */
export interface AskedGroups {
  readonly by?: string
  readonly a: readonly string[]
  readonly b: readonly string[]
  readonly before?: string
  readonly direction?: string
  readonly since?: string
  readonly tag: readonly string[]
}

/** The two groups of a comparison. @throws UsageError `which-groups`, `bad-groups` */
export function groupsAsked(asked: AskedGroups): {
  left: GroupOfRuns
  right: GroupOfRuns
  common: RunFilter
} {
  const ways = [asked.by, asked.before, asked.a.length > 0 || asked.b.length > 0 || undefined]
  if (ways.filter((way) => way !== undefined).length !== 1) {
    throw new UsageError(
      'which-groups',
      'It is not clear which two groups to compare.',
      'Give one of --by direction, --by TAG=A,B, --a KEY=VALUE with --b KEY=VALUE, or --before DATE.',
    )
  }
  return { ...twoGroups(asked), common: commonFilter(asked) }
}

function twoGroups({ by, a, b, before }: AskedGroups): { left: GroupOfRuns; right: GroupOfRuns } {
  if (by === 'direction') {
    return {
      left: { name: 'direction +', filter: { direction: 1 } },
      right: { name: 'direction -', filter: { direction: -1 } },
    }
  }
  if (by !== undefined) return groupsByTag(by)
  if (before !== undefined) {
    const at = parseDate(before, '--before')
    const until = new Date(Date.parse(at) - 1).toISOString()
    return {
      left: { name: `before ${before}`, filter: { until } },
      right: { name: `since ${before}`, filter: { since: at } },
    }
  }
  if (a.length === 0 || b.length === 0) {
    throw new UsageError(
      'bad-groups',
      'Only one of the two groups is named.',
      'Give both: --a load=free --b load=cutting',
    )
  }
  return {
    left: { name: a.join(' '), filter: { tags: parseTags(a) } },
    right: { name: b.join(' '), filter: { tags: parseTags(b) } },
  }
}

function groupsByTag(by: string): { left: GroupOfRuns; right: GroupOfRuns } {
  const [key = '', values = ''] = by.split('=', 2).map((part) => part.trim())
  const [first, second, ...more] = values.split(',').map((value) => value.trim())
  if (key === '' || !first || !second || more.length > 0 || first === second) {
    throw new UsageError(
      'bad-groups',
      `--by: "${by}" does not name two groups.`,
      'Write it like --by direction or --by load=free,cutting.',
    )
  }
  const group = (value: string): GroupOfRuns => ({
    name: `${key}=${value}`,
    filter: { tags: { [key]: value } },
  })
  return { left: group(first), right: group(second) }
}

function commonFilter({ direction, since, tag, by, before }: AskedGroups): RunFilter {
  if (direction !== undefined && by === 'direction') {
    throw new UsageError(
      'bad-groups',
      'Both directions are compared, so --direction has no use here.',
      'Leave --direction out.',
    )
  }
  if (since !== undefined && before !== undefined) {
    throw new UsageError('bad-groups', '--since and --before both choose runs by date.', 'Give one of them.')
  }
  return {
    ...(direction === undefined ? {} : { direction: parseDirection(direction) }),
    ...(since === undefined ? {} : { since: parseDate(since) }),
    ...(tag.length === 0 ? {} : { tags: parseTags(tag) }),
  }
}
