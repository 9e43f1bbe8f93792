import { type Said, sentence, TablepaceError, way } from '../../errors/index.js'
import { type FeedAnswer, feedAtDial, type UncertaintyBudget } from '../../planning/index.js'
import type { StoredTable } from '../../store/index.js'
import { directionSign, writeDial } from '../../units/index.js'
import type { Carried } from '../recheck/carried-table.js'

interface Note {
  readonly code: string
  readonly message: Said
}

/**
 * What a budget's numbers do not say: sources without a line of their own, and what could not be told apart.
 *
 * @param runsHere how many of the table's runs this store has
 */
export function explanationNotes(
  table: StoredTable,
  answer: FeedAnswer,
  budget: UncertaintyBudget | null,
  carried: Carried | null,
  runsHere: number,
): Note[] {
  if (carried !== null) return [...carriedNotes(table, answer, carried), directionNote(table)]
  if (runsHere < table.runIds.length) {
    return [
      {
        code: 'runs-elsewhere',
        message: sentence`This table came in as a file: its runs lie in the store that fitted it, so its uncertainty cannot be broken down here. Bring that store in${way('import-store')}.`,
      },
      directionNote(table),
    ]
  }
  if (budget === null) {
    return [
      {
        code: 'not-made-again',
        message:
          'This table cannot be made again from its runs as they stand now (they were judged again since, or the method or the axis changed), so its uncertainty cannot be broken down. Fit again and explain the new version.',
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
        'No setting was measured twice, so run-to-run and dial-reset scatter are not known and nothing can be added up. To find out, set the dial to it again and make another run.',
    })
  }
  const assumed = table.warnings?.find(({ code }) => code === 'scatter-assumed')
  if (assumed !== undefined) notes.push({ code: assumed.code, message: assumed.message })
  if (has('reading') && !has('clock')) {
    notes.push({
      code: 'host-clock',
      message:
        'No run here was timed by the clock of the readout; how unevenly its lines arrive is part of "reading".',
    })
  }
  if (has('scatter while creeping')) {
    notes.push({
      code: 'creeping-not-separable',
      message:
        'Where the table only creeps, run-to-run and dial-reset scatter cannot be separated; they share one line.',
    })
  }
  if (has('curve')) {
    notes.push({
      code: 'curve',
      message: '"Curve" is the doubt that would remain if the mean feed of every mark were known exactly.',
    })
  }
  return [...notes, ...markNote(table, answer), directionNote(table)]
}

/** A table made from an earlier one by a recheck: what was done to the earlier feed, and what each part leaves open. */
function carriedNotes(table: StoredTable, answer: FeedAnswer, carried: Carried): Note[] {
  const { parent, change, runs } = carried
  const own = runs.filter((run) => run.direction === table.direction).length
  const { cause, amount } = change
  const asPercent = (log: number) => 100 * Math.expm1(log)
  const moved =
    cause === 'scale'
      ? `all its feeds changed by ${signed(asPercent(amount.value))} % (95 %: ${amount.interval95.map((end) => signed(asPercent(end))).join(' … ')} %)`
      : `the knob turned by ${signed(amount.value)} of the dial (95 %: ${amount.interval95.map(signed).join(' … ')})`
  const turned = cause === 'offset' ? amount.value : 0
  const parentDial = Math.round(100 * (answer.dial + turned)) / 100
  const before = feedOrNull(parent, answer.dial + turned)
  return [
    {
      code: 'carried-over',
      message: `The shape is that of table ${parent.version}; ${own} runs of a recheck showed that ${moved}.`,
    },
    ...(before === null
      ? []
      : [
          {
            code: 'carried-uncertainty',
            message: sentence`Table ${parent.version} at dial ${writeDial(parentDial, table)} has a standard uncertainty of ${percentOf(before)} %; with that of the change it is ${percentOf(answer.feed)} %. Break down the former${way('explain', { dial: writeDial(parentDial, table), version: parent.version })}.`,
          },
        ]),
  ]
}

function feedOrNull(table: StoredTable, dial: number): FeedAnswer['feed'] | null {
  try {
    return feedAtDial(table, dial).feed
  } catch (error) {
    if (error instanceof TablepaceError) return null
    throw error
  }
}

function percentOf({ feedMmPerMin, standardUncertaintyMmPerMin: u }: FeedAnswer['feed']): string {
  return u === null ? 'unknown' : ((100 * u) / feedMmPerMin).toPrecision(2)
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
      message: `The runs at mark ${writeDial(mark.dial, table)} alone lie ${signed(off)} % from this feed, with a standard uncertainty of ${percent.toPrecision(2)} %; the curve weighs the marks around it too.`,
    },
  ]
}

function directionNote({ direction, difference }: StoredTable): Note {
  const own = `Each direction has its own table; this one is for direction ${directionSign(direction)}.`
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
