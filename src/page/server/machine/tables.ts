import { UsageError } from '../../../errors/index.js'
import { explainFeed, withRechecks } from '../../../jobs/index.js'
import type { UncertaintyBudget } from '../../../planning/index.js'
import { standingWarnings } from '../../../planning/lookup/standing-warnings.js'
import type { Axis, Store, StoredTable } from '../../../store/index.js'
import type { Direction } from '../../../traverse/index.js'
import { parseDialNumber } from '../../../units/index.js'
import { BUDGET_MEANINGS } from '../../../words/index.js'
import type { ExplanationAnswer, TableAnswer, VersionsAnswer } from '../../machine-api.js'
import { onPage } from '../../wording.js'
import { axisOf, type Desk } from '../desk.js'
import type { Route } from '../http/post-route.js'
import { pageRun } from '../measure/page-run.js'

/** Versions of the tables, and where their numbers come from. */
export function tableRoutes({ store }: Desk): Route[] {
  return [
    ['GET /api/tables', (_, query) => versions(store, axisOf(store, query))],
    [
      'GET /api/table',
      (_, query) => {
        const axis = axisOf(store, query)
        return tableAnswer(store, axis, tableOf(store, axis, query))
      },
    ],
    [
      'GET /api/explain',
      (_, query) => {
        const axis = axisOf(store, query)
        const dial = parseDialNumber(query.get('dial') ?? '', 'Dial setting', axis)
        return explanation(store, axis, tableOf(store, axis, query), dial)
      },
    ],
  ]
}

function versions(store: Store, axis: Axis): VersionsAnswer {
  const inForce = ([1, -1] as const).map((direction) => store.tables.inForce(axis.id, direction)?.hash)
  return {
    versions: store.tables
      .list(axis.id)
      .map((table) => ({ ...table, inForce: inForce.includes(table.hash) }))
      .sort((a, b) => b.version - a.version || b.direction - a.direction),
  }
}

/** The version that a question names. @throws UsageError `bad-request`, `unknown-version` */
function tableOf(store: Store, axis: Axis, query: URLSearchParams): StoredTable {
  const version = Number(query.get('version'))
  if (!Number.isSafeInteger(version)) {
    throw new UsageError('bad-request', 'The request names no version.', 'Reload the page.')
  }
  const direction: Direction = query.get('direction') === '-1' ? -1 : 1
  return withRechecks(store, axis.id, store.tables.version(axis.id, direction, version))
}

function tableAnswer(store: Store, axis: Axis, table: StoredTable): TableAnswer {
  const isInForce = store.tables.inForce(axis.id, table.direction)?.version === table.version
  // An old version is read for what it says; only the one in force is there to be relied on.
  const told = isInForce ? [...standingWarnings(table), ...table.warnings] : table.warnings
  return { table, warnings: [...new Set(told.map(({ message }) => message))] }
}

/** @throws DataError as `explainFeed` where the table does not answer for this dial */
function explanation(store: Store, axis: Axis, table: StoredTable, dial: number): ExplanationAnswer {
  const { answer, budget, notes, runs, leftOut } = explainFeed(store, axis, table, dial)
  return {
    answer,
    budget: budget === null ? null : budgetAnswer(budget),
    notes: notes.map(({ message }) => onPage(message)),
    runs: runs.map(({ run, weight }) => ({ run: pageRun(run), weight })),
    leftOut: leftOut.map(({ run, message }) => ({ run: pageRun(run), why: message })),
  }
}

function budgetAnswer({ lines, combinedPercent }: UncertaintyBudget): ExplanationAnswer['budget'] {
  return {
    lines: lines
      .filter((line) => line.appliesTo === 'mean')
      .map(({ source, standardUncertaintyPercent: meanPercent }) => ({
        source,
        meaning: BUDGET_MEANINGS[source],
        meanPercent,
        nextPercent:
          lines.find((line) => line.appliesTo === 'next' && line.source === source)
            ?.standardUncertaintyPercent ?? null,
      })),
    combinedPercent,
  }
}
