import type { ComparedRuns } from '../../jobs/index.js'
import type { Axis } from '../../store/index.js'
import { directionSign, feedUnit, formatDial, formatFeed } from '../../units/index.js'
import { comparisonSentence, differingSentences, signedInterval } from '../../words/index.js'
import { textTable } from '../render/text-table.js'

/** A comparison as one reads it: the verdict, the marks, all together, what else differed. */
export function renderComparison(
  found: ComparedRuns,
  withinPercent: number,
  axis: Pick<Axis, 'unit' | 'lettered'>,
): string {
  const { comparison, left, right } = found
  const { unit } = axis
  return [
    comparisonSentence(found, withinPercent),
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
        formatDial(mark.dial, axis),
        mark.direction === mark.rightDirection ? directionSign(mark.direction) : '',
        formatFeed(mark.leftFeed.feedMmPerMin, mark.leftFeed.interval95, unit),
        formatFeed(mark.rightFeed.feedMmPerMin, mark.rightFeed.interval95, unit),
        signedInterval(comparison.marks[i]!.percent),
        mark.runs.join(' and '),
      ]),
    ),
    '',
    `All marks together: ${signedInterval(comparison.scale)}`,
    ...differingSentences(found).map((sentence) => `Conditions: ${sentence}`),
  ].join('\n')
}
