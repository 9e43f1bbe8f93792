import { DataError, sentence, way } from '../../errors/index.js'
import { type Comparison, compareGroups } from '../../planning/recheck/index.js'
import type { Axis, Run, RunFilter, Store } from '../../store/index.js'
import { shortId } from '../../text/index.js'
import { differingConditions } from '../live/run-conditions.js'
import { dialOf } from './dial-of-axis.js'
import { newestMove } from './machine-state.js'
import { evidenceOf } from './table-evidence.js'

/** Runs that belong together, and what they are called. */
export interface GroupOfRuns {
  readonly name: string
  readonly filter: RunFilter
}

/** How two groups of stored runs differ. */
export interface ComparedRuns {
  readonly comparison: Comparison
  readonly left: { readonly name: string; readonly runs: readonly Run[] }
  readonly right: { readonly name: string; readonly runs: readonly Run[] }
  /** What else was not the same for the two. */
  readonly conditions: readonly {
    readonly condition: string
    readonly left: readonly string[]
    readonly right: readonly string[]
  }[]
}

/**
 * Compares two groups of an axis' runs; a run that belongs to both is an error of the question.
 *
 * @param common what the runs of both groups must fulfil besides
 * @throws DataError `empty-group`, `same-runs`, and as `compareGroups` does
 */
export function compareRuns(
  store: Store,
  axis: Axis,
  groups: { readonly left: GroupOfRuns; readonly right: GroupOfRuns; readonly common: RunFilter },
  withinPercent: number,
): ComparedRuns {
  const named = ({ name, filter }: GroupOfRuns) => ({
    name,
    runs: usableRuns(store, axis, merged(groups.common, filter)),
  })
  const [left, right] = [named(groups.left), named(groups.right)]
  for (const { name, runs } of [left, right]) {
    if (runs.length > 0) continue
    throw new DataError(
      'empty-group',
      `No accepted run belongs to "${name}".`,
      sentence`List the runs${way('list-runs')} and look at their tags.`,
    )
  }
  const shared = left.runs.find((run) => right.runs.some((one) => one.id === run.id))
  if (shared !== undefined) {
    throw new DataError(
      'same-runs',
      `Run ${shortId(shared.id)} belongs to both "${left.name}" and "${right.name}".`,
      'Name two groups that have no run in common.',
    )
  }
  const evidence = (runs: readonly Run[]) =>
    evidenceOf(
      store,
      axis,
      runs.map((run) => run.id),
    )
  const comparison = compareGroups(
    {
      left: evidence(left.runs),
      right: evidence(right.runs),
      acrossDirections: groups.left.filter.direction !== groups.right.filter.direction,
      options: dialOf(axis),
    },
    withinPercent,
  )
  const conditions = [
    ...differingConditions(left.runs, right.runs),
    ...differingStates(newestMove(store, axis), left.runs, right.runs),
  ]
  return { comparison, left, right, conditions }
}

/** Runs from both sides of a move of the machine differ by the move, whatever else they are compared by. */
function differingStates(
  movedAt: string | null,
  left: readonly Run[],
  right: readonly Run[],
): ComparedRuns['conditions'] {
  if (movedAt === null) return []
  const date = movedAt.slice(0, 10)
  const statesOf = (runs: readonly Run[]) => [
    ...(runs.some((run) => run.createdAt < movedAt) ? [`before it moved (${date})`] : []),
    ...(runs.some((run) => run.createdAt >= movedAt) ? ['since then'] : []),
  ]
  const [a, b] = [statesOf(left), statesOf(right)]
  return a.length + b.length === 2 && a[0] === b[0] ? [] : [{ condition: 'machine', left: a, right: b }]
}

function merged(common: RunFilter, own: RunFilter): RunFilter {
  return { ...common, ...own, tags: { ...common.tags, ...own.tags } }
}

function usableRuns(store: Store, axis: Axis, filter: RunFilter): Run[] {
  return store.runs
    .list(axis.id, filter)
    .filter(
      (run) =>
        run.accepted &&
        run.droppedAt === null &&
        run.dial !== 'rapid' &&
        run.dial >= axis.dialMin &&
        run.dial <= axis.dialMax,
    )
}
