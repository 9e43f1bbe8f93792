import { readdirSync } from 'node:fs'
import { basename, join } from 'node:path'
import { UsageError } from '../errors/index.js'
import { badCase, type CaseItem, readCaseFile } from './case-file.js'
import type { Check, Comparison } from './comparison.js'
import { runControlCharts } from './control-chart-cases.js'
import { runEquivalence } from './equivalence-cases.js'
import { runGum } from './gum-cases.js'
import { runHac } from './hac-cases.js'
import { runInversePrediction } from './inverse-prediction-cases.js'
import { runLeastSquares } from './least-squares-cases.js'
import { runMilling } from './milling-cases.js'
import { runMonotone } from './monotone-cases.js'
import { runPooling } from './pooling-cases.js'
import { publishedCasesFolder } from './published-cases.js'
import type { Runner } from './runner.js'
import { runStartingValues } from './starting-values-cases.js'
import { runStopwatch } from './stopwatch-cases.js'
import { runUnits } from './units-cases.js'

/** A published number held against what a function of this program makes of its data. */
export interface SelfcheckCase extends Check {
  /** Name of the file the case stands in. */
  readonly file: string
  readonly id: string
  readonly title: string
  readonly source: string
  readonly status: CaseItem['status']
  readonly passed: boolean
}

/** A published item, or some quantities of it, that could not be checked. */
export interface SkippedCase {
  readonly file: string
  readonly id: string
  readonly why: string
}

export interface SelfcheckResult {
  readonly cases: readonly SelfcheckCase[]
  readonly skipped: readonly SkippedCase[]
}

const NO_FUNCTION = 'no function of this program computes it yet'

const RUNNERS: Readonly<Record<string, Runner>> = {
  'least-squares': runLeastSquares,
  gum: runGum,
  hac: runHac,
  monotone: runMonotone,
  pooling: runPooling,
  stopwatch: runStopwatch,
  'units-and-formats': runUnits,
  'inverse-prediction': runInversePrediction,
  equivalence: runEquivalence,
  'control-charts': runControlCharts,
  milling: runMilling,
  'milling-starting-values': runStartingValues,
}

/**
 * Runs published check cases through the program's own functions.
 *
 * @param files more case files of the same topics and shapes, run after those that come with the program
 * @throws FileError `cases-unreadable`
 * @throws UsageError `bad-case` naming file, item and field; `unknown-topic`
 */
export function runSelfcheck(files: readonly string[] = []): SelfcheckResult {
  const cases: SelfcheckCase[] = []
  const skipped: SkippedCase[] = []
  for (const path of [...publishedFiles(), ...files]) {
    const { topic, items } = readCaseFile(path)
    const runner = RUNNERS[topic]
    if (runner === undefined) {
      throw new UsageError(
        'unknown-topic',
        `${path}: the topic "${topic}" is not known.`,
        `Known topics: ${Object.keys(RUNNERS).join(', ')}.`,
      )
    }
    const file = basename(path)
    for (const item of items) {
      const { id, title, source, status } = item
      const { checks, notComputed } = runItem(runner, path, item)
      for (const check of checks) {
        cases.push({
          file,
          id,
          title,
          source,
          status,
          ...check,
          passed: check.digits >= check.requiredDigits,
        })
      }
      if (checks.length === 0) skipped.push({ file, id, why: NO_FUNCTION })
      else if (notComputed.length > 0) {
        skipped.push({ file, id, why: `${NO_FUNCTION}: ${notComputed.join(', ')}` })
      }
    }
  }
  return { cases, skipped }
}

/** Numbers that a function of ours refuses (dependent columns, knots that do not rise) are a fault of the case. */
function runItem(runner: Runner, path: string, item: CaseItem): Comparison {
  try {
    return runner(path, item)
  } catch (error) {
    if (error instanceof RangeError) throw badCase(path, item.id, 'data', error.message)
    throw error
  }
}

function publishedFiles(): string[] {
  const folder = publishedCasesFolder()
  return readdirSync(folder)
    .filter((name) => name.endsWith('.json'))
    .sort()
    .map((name) => join(folder, name))
}
