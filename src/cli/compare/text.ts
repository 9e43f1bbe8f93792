import type { ComparedRuns } from '../../jobs/index.js'
import { likeness } from '../../planning/recheck/index.js'
import { directionSign, feedUnit, formatDial, formatFeed, type LengthUnit } from '../../units/index.js'
import { signedInterval } from '../../words/index.js'
import { textTable } from '../render/text-table.js'

/** A comparison as one reads it: the verdict, the marks, all together, what else differed. */
export function renderComparison(
  { comparison, left, right, conditions }: ComparedRuns,
  withinPercent: number,
  unit: LengthUnit,
): string {
  const words = {
    alike: `alike within ${withinPercent} %`,
    different: 'different',
    undecided: `not told apart, and not shown to be alike within ${withinPercent} %`,
  }[likeness(comparison)]
  return [
    `${right.name} (${right.runs.length} runs) against ${left.name} (${left.runs.length} runs): ${words}`,
    textTable(
      [
        { title: 'dial', align: 'right' },
        { title: 'dir', align: 'left' },
        { title: `${left.name}, ${feedUnit(unit)}`, align: 'right' },
        { title: right.name, align: 'right' },
        { title: 'difference, 95 %', align: 'left' },
        { title: 'runs', align: 'right' },
      ],
      comparison.compared.map((mark, i) => [
        formatDial(mark.dial),
        mark.direction === mark.rightDirection ? directionSign(mark.direction) : '',
        formatFeed(mark.leftFeed.feedMmPerMin, mark.leftFeed.interval95, unit),
        formatFeed(mark.rightFeed.feedMmPerMin, mark.rightFeed.interval95, unit),
        signedInterval(comparison.marks[i]!.percent),
        mark.runs.join(' and '),
      ]),
    ),
    '',
    `All marks together: ${signedInterval(comparison.scale)}`,
    ...conditions.map(
      ({ condition, left: a, right: b }) => `Conditions: ${condition} ${list(a)} against ${list(b)}`,
    ),
  ].join('\n')
}

function list(values: readonly string[]): string {
  return values.length === 0 ? '(none)' : values.join(', ')
}
