import type { FeedAnswer, UncertaintyBudget } from '../planning/index.js'
import type { StoredTable } from '../store/index.js'

interface Note {
  readonly code: string
  readonly message: string
}

/** What a budget's numbers do not say: sources without a line of their own, and what could not be told apart. */
export function explanationNotes(
  table: StoredTable,
  answer: FeedAnswer,
  budget: UncertaintyBudget | null,
): Note[] {
  if (budget === null) {
    return [
      {
        code: 'not-made-again',
        message:
          'This table cannot be made again from its runs as they stand now (they were judged again since, or the method or the axis changed), so its uncertainty cannot be taken apart: fit again and explain the new version.',
      },
      directionNote(table),
    ]
  }
  const has = (source: string) => budget.lines.some((line) => line.source === source)
  const notes: Note[] = []
  if (budget.combinedPercent.mean === null) {
    notes.push({
      code: 'scatter-not-known',
      message:
        'No setting was measured twice, so run-to-run and dial-reset scatter are not known and nothing can be added up: set each dial anew and run it again.',
    })
  }
  if (has('reading') && !has('clock')) {
    notes.push({
      code: 'host-clock',
      message:
        'No run here was timed by the clock of the readout; how unevenly its lines arrive counts under reading.',
    })
  }
  if (has('scatter while creeping')) {
    notes.push({
      code: 'creeping-not-separable',
      message:
        'Where the table only creeps, run-to-run and dial-reset scatter cannot be told apart; they stand in one line.',
    })
  }
  if (has('curve')) {
    notes.push({
      code: 'curve',
      message: 'Curve is what would stay open if the mean feed of every mark were known exactly.',
    })
  }
  return [...notes, ...markNote(table, answer), directionNote(table)]
}

/** At a mark the curve answers, which the neighbours steady; the mark by itself is less sure. */
function markNote(table: StoredTable, answer: FeedAnswer): Note[] {
  const mark = answer.from === 'curve' ? table.marks.find(({ dial }) => dial === answer.dial) : undefined
  if (mark === undefined || mark.standardUncertaintyMmPerMin === null || !(mark.feedMmPerMin > 0)) return []
  const off = 100 * (mark.feedMmPerMin / answer.feed.feedMmPerMin - 1)
  const percent = (100 * mark.standardUncertaintyMmPerMin) / mark.feedMmPerMin
  return [
    {
      code: 'mark-alone',
      message: `The runs at mark ${mark.dial} alone lie ${signed(off)} % from this feed, with a standard uncertainty of ${percent.toPrecision(2)} %; the curve weighs the marks around it too.`,
    },
  ]
}

function directionNote({ direction, difference }: StoredTable): Note {
  const own = `Each direction has a table of its own, so no line is needed for it; this one is direction ${direction === 1 ? '+' : '-'}.`
  if (difference === null) return { code: 'direction', message: own }
  const [low, high] = difference.interval95Percent
  return {
    code: 'direction',
    message: `${own} Direction - against + differs by ${signed(difference.percent)} % (95 %: ${signed(low)} … ${signed(high)} %).`,
  }
}

function signed(value: number): string {
  return `${value > 0 ? '+' : ''}${value.toFixed(2)}`
}
