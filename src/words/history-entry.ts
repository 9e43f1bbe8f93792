import type { RecheckRecord } from '../jobs/index.js'
import type { ChangeEntry, HistoryEntry, Recheck, Run, TableSummary } from '../store/index.js'
import { shortId } from '../text/index.js'
import {
  type DialWriting,
  directionSign,
  feedUnit,
  formatDial,
  fromMm,
  type LengthUnit,
  NUMBERED,
} from '../units/index.js'
import { rangeWords } from './recheck-report.js'

/** One line of a machine's history, without its date. */
export function historyEntryText(
  {
    axis,
    entry,
    writing = NUMBERED,
  }: {
    readonly axis: string | null
    readonly entry: HistoryEntry
    /** Of the axis' dial. */
    readonly writing?: DialWriting
  },
  unit: LengthUnit,
): string {
  const of = axis === null ? 'machine' : `axis ${axis}`
  switch (entry.kind) {
    case 'table':
      return `${of}: ${describeTable(entry)}`
    case 'recheck':
      return `${of}: ${describeRecheck(entry, writing)}`
    case 'change':
      return `${of}: ${describeChange(entry, unit, writing)}`
  }
}

function describeTable(table: TableSummary): string {
  const reason = table.reason === null ? '' : `, reason: ${table.reason}`
  return `table ${table.version} ${table.method.name.startsWith('earlier-table') ? `made from table ${table.parentVersion}` : 'fitted'} for direction ${directionSign(table.direction)} from ${table.runs} runs at ${table.marks} marks${reason}`
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

function describeChange(change: ChangeEntry, unit: LengthUnit, writing: DialWriting): string {
  const word = CHANGE_WORDS[change.action]
  if (change.subject === 'run') {
    const run = change.after as Partial<Run>
    const dial = run.dial === undefined ? '' : ` at dial ${formatDial(run.dial, writing)}`
    const reason = change.action === 'drop' ? `, reason: ${run.dropReason ?? 'none given'}` : ''
    return `run ${shortId(change.subjectId)}${dial} ${word}${reason}${rejudged(change, unit)}`
  }
  return `${word}${changedFields(change, writing)}`
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

/** Which fields of a machine or axis changed, and to what. */
function changedFields({ action, before, after }: ChangeEntry, writing: DialWriting): string {
  if (action !== 'change') return ''
  const was = (before ?? {}) as Record<string, unknown>
  const is = (after ?? {}) as Record<string, unknown>
  // What is left out on one side stands on the other.
  const fields = Object.keys({ ...was, ...is })
    .map((name) => [name, is[name]] as const)
    .filter(([name, value]) => JSON.stringify(value) !== JSON.stringify(was[name]))
    .map(
      ([name, value]) =>
        `${name} ${fieldText(name, was[name], writing)} → ${fieldText(name, value, writing)}`,
    )
  return fields.length === 0 ? '' : `: ${fields.join(', ')}`
}

/** The value of a field; a setting of the dial as it is written there. */
function fieldText(name: string, value: unknown, writing: DialWriting): string {
  if (name === 'lettered') return value === true ? 'yes' : 'no'
  if (writing.lettered && OF_THE_DIAL.includes(name)) {
    return [value]
      .flat()
      .map((dial) => (typeof dial === 'number' ? formatDial(dial, writing) : dial))
      .join(', ')
  }
  return JSON.stringify(value)
}

/** Fields of an axis that hold settings of its dial. */
const OF_THE_DIAL = ['dialMin', 'dialMax', 'marks']
