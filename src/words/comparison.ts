import type { ComparedRuns } from '../jobs/index.js'
import { likeness } from '../planning/recheck/index.js'

/** How two groups of runs compare, in a sentence without its full stop. */
export function comparisonSentence({ comparison, left, right }: ComparedRuns, withinPercent: number): string {
  const words = {
    alike: `alike within ${withinPercent} %`,
    different: 'different',
    undecided: `no difference shown, and not shown to be alike within ${withinPercent} %`,
  }[likeness(comparison)]
  return `${right.name} (${right.runs.length} runs) against ${left.name} (${left.runs.length} runs): ${words}`
}

/** What else was not the same for the two groups, one condition a sentence. */
export function differingSentences({ conditions }: ComparedRuns): string[] {
  return conditions.map(({ condition, left, right }) => `${condition} ${list(left)} against ${list(right)}`)
}

function list(values: readonly string[]): string {
  return values.length === 0 ? '(none)' : values.join(', ')
}
