import type { RecheckRecord } from '../jobs/index.js'
import type { Axis, ChangeEntry, HistoryEntry, Recheck, Run, TableSummary } from '../store/index.js'
import { countOf, shortId } from '../text/index.js'
import {
  type DialWriting,
  directionSign,
  feedUnit,
  formatDial,
  fromMm,
  type LengthUnit,
  type MachineUnit,
  NUMBERED,
} from '../units/index.js'
import { changedFieldsText, type Units } from './changed-fields.js'
import { rangeWords } from './recheck-report.js'

/**
 * One line of a machine's history, without its date.
 *
 * @param axis that it was found under; null for a change of the machine itself
 */
export function historyEntryText(axis: Axis | null, entry: HistoryEntry, machineUnit: MachineUnit): string {
  const of = axis === null ? 'machine' : `axis ${axis.name}`
  const writing = axis ?? NUMBERED
  switch (entry.kind) {
    case 'table':
      return `${of}: ${describeTable(entry)}`
    case 'recheck':
      return `${of}: ${describeRecheck(entry, writing)}`
    case 'change':
      return `${of}: ${describeChange(entry, { unit: axis?.unit ?? machineUnit, machineUnit, writing })}`
  }
}

function describeTable(table: TableSummary): string {
  const reason = table.reason === null ? '' : `, reason: ${table.reason}`
  return `table ${table.version} ${table.method.name.startsWith('earlier-table') ? `made from table ${table.parentVersion}` : 'fitted'} for direction ${directionSign(table.direction)} from ${countOf(table.runs, 'run')} at ${countOf(table.marks, 'mark')}${reason}`
}

function describeRecheck(recheck: Recheck, writing: DialWriting): string {
  const { range, changed, scalePercent } = (recheck.result ?? {}) as Partial<RecheckRecord>
  const verdict = { holds: 'the table holds', moved: 'the feeds have moved', undecided: 'not decided' }[
    recheck.verdict
  ]
  const change = changed === true && recheck.verdict !== 'moved' ? ', a change is shown' : ''
  const difference = signedPercent(scalePercent?.value)
  const found = difference === null ? '' : `, all marks together ${difference}`
  return `recheck within ${recheck.withinPercent} %: ${verdict}${rangeWords(range ?? null, writing)}${change}${found}, ${recheck.runIds.length} runs, reason: ${recheck.reason}`
}

/** The difference that a recheck found; null where it was kept in another form. */
function signedPercent(value: unknown): string | null {
  return typeof value === 'number' ? `${value > 0 ? '+' : ''}${value.toFixed(2)} %` : null
}

const CHANGE_WORDS: Readonly<Record<ChangeEntry['action'], string>> = {
  add: 'added',
  change: 'changed',
  remove: 'retired',
  restore: 'brought back',
  drop: 'left out',
  keep: 'put back',
  'judge-again': 'judged again',
}

function describeChange(change: ChangeEntry, units: Units): string {
  const { unit, writing } = units
  const word = CHANGE_WORDS[change.action]
  if (change.subject === 'run') {
    const run = change.after as Partial<Run>
    const dial = run.dial === undefined ? '' : ` at dial ${formatDial(run.dial, writing)}`
    const reason = change.action === 'drop' ? `, reason: ${run.dropReason ?? 'none given'}` : ''
    return `run ${shortId(change.subjectId)}${dial} ${word}${reason}${rejudged(change, unit)}`
  }
  return `${word}${changedFieldsText(change, units)}`
}

/** What judging again made of the feed. */
function rejudged({ action, before, after }: ChangeEntry, unit: LengthUnit): string {
  if (action !== 'judge-again') return ''
  const [was, is] = [before, after].map((run) => {
    const feed = (run as Partial<Run> | null)?.feed?.feedMmPerMin
    return feed === undefined ? 'no feed' : `${fromMm(feed, unit).toPrecision(5)} ${feedUnit(unit)}`
  })
  return was === is ? '' : `: ${was} before, ${is} now`
}
