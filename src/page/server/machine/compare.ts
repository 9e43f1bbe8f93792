import { compareRuns, type GroupOfRuns } from '../../../jobs/index.js'
import { likeness } from '../../../planning/recheck/index.js'
import type { Axis, Store } from '../../../store/index.js'
import { comparisonSentence, differingSentences, signedInterval } from '../../../words/index.js'
import type { CompareRequest, ComparisonAnswer } from '../../machine-api.js'

/** How two groups of an axis' runs differ. @throws DataError as `compareRuns` does */
export function comparison(store: Store, request: CompareRequest): ComparisonAnswer {
  const { axisId, withinPercent, direction } = request
  const common = direction === null || request.groups.by === 'direction' ? {} : { direction }
  const axis = store.axes.byId(axisId)
  const found = compareRuns(store, axis, { ...groupsOf(request.groups, axis), common }, withinPercent)
  const { comparison: decided, left, right } = found
  return {
    headline: comparisonSentence(found, withinPercent),
    verdict: likeness(decided),
    left: left.name,
    right: right.name,
    marks: decided.compared.map((mark, index) => ({
      dial: mark.dial,
      direction: mark.direction === mark.rightDirection ? mark.direction : null,
      leftMmPerMin: mark.leftFeed.feedMmPerMin,
      left95: mark.leftFeed.interval95,
      rightMmPerMin: mark.rightFeed.feedMmPerMin,
      right95: mark.rightFeed.interval95,
      difference: signedInterval(decided.marks[index]!.percent),
      runs: mark.runs,
    })),
    overall: signedInterval(decided.scale),
    conditions: differingSentences(found),
  }
}

function groupsOf(
  groups: CompareRequest['groups'],
  { ways }: Axis,
): { left: GroupOfRuns; right: GroupOfRuns } {
  switch (groups.by) {
    case 'direction':
      return {
        left: { name: `direction +${ways === null ? '' : ` (${ways.plus})`}`, filter: { direction: 1 } },
        right: { name: `direction −${ways === null ? '' : ` (${ways.minus})`}`, filter: { direction: -1 } },
      }
    case 'tag': {
      const group = (value: string): GroupOfRuns => ({
        name: `${groups.key} ${value}`,
        filter: { tags: { [groups.key]: value } },
      })
      return { left: group(groups.left), right: group(groups.right) }
    }
    case 'date': {
      const since = new Date(groups.before).toISOString()
      // The filter holds its last moment too.
      const until = new Date(Date.parse(since) - 1).toISOString()
      return {
        left: { name: `before ${since.slice(0, 10)}`, filter: { until } },
        right: { name: `since ${since.slice(0, 10)}`, filter: { since } },
      }
    }
  }
}
