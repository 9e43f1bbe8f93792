import { readdirSync, statSync } from 'node:fs'
import { basename, join } from 'node:path'
import { FileError, UsageError } from '../errors/index.js'
import { badCase, type CaseItem, itemName, readCaseFile, readItem } from './case-file.js'
import type { Check, Comparison } from './comparison.js'
import { publishedCasesFolder } from './published-cases.js'
import type { Runner } from './runner.js'
import { runControlCharts } from './topics/control-chart-cases.js'
import { runEquivalence } from './topics/equivalence-cases.js'
import { runGum } from './topics/gum-cases.js'
import { runHac } from './topics/hac-cases.js'
import { runInversePrediction } from './topics/inverse-prediction-cases.js'
import { runLeastSquares } from './topics/least-squares-cases.js'
import { runMilling } from './topics/milling-cases.js'
import { runMonotone } from './topics/monotone-cases.js'
import { runPooling } from './topics/pooling-cases.js'
import { runStartingValues } from './topics/starting-values-cases.js'
import { runStopwatch } from './topics/stopwatch-cases.js'
import { runUnits } from './topics/units-cases.js'

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
interface SkippedCase {
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
 * Runs published check cases through the program's own functions. What cannot be read or computed is listed with the
 * reason and stops nothing.
 *
 * @param paths more case files, or folders of them, of the same topics and shapes; run after those that come with the
 *   program
 * @throws FileError `cases-unreadable` for a path that cannot be read, or a named file that is not JSON
 */
export function runSelfcheck(paths: readonly string[] = []): SelfcheckResult {
  const cases: SelfcheckCase[] = []
  const skipped: SkippedCase[] = []
  for (const path of [...caseFiles(publishedCasesFolder()), ...paths.flatMap(caseFiles)]) {
    const file = basename(path)
    const skip = (id: string, why: string) => skipped.push({ file, id, why })
    const read = orReason(() => readCaseFile(path))
    if (typeof read === 'string') {
      skip(WHOLE_FILE, read)
      continue
    }
    const runner = RUNNERS[read.topic]
    if (runner === undefined) {
      skip(WHOLE_FILE, `the topic "${read.topic}" is not known; there are ${Object.keys(RUNNERS).join(', ')}`)
      continue
    }
    for (const [index, content] of read.items.entries()) {
      const ran = orReason(() => runItem(runner, path, content, index))
      if (typeof ran === 'string') {
        skip(itemName(content, index), ran)
        continue
      }
      const { id, title, source, status } = ran.item
      for (const check of ran.checks) {
        const passed = check.digits >= check.requiredDigits
        cases.push({ file, id, title, source, status, ...check, passed })
      }
      if (ran.checks.length === 0) skip(id, NO_FUNCTION)
      else if (ran.notComputed.length > 0) skip(id, `${NO_FUNCTION}: ${ran.notComputed.join(', ')}`)
    }
  }
  return { cases, skipped }
}

/** Stands for an item's id where a whole file is left out. */
const WHOLE_FILE = 'file'

/** What the work gives, or the sentence of the fault that it found in a case. */
function orReason<T extends object>(work: () => T): T | string {
  try {
    return work()
  } catch (error) {
    if (error instanceof UsageError) return error.message
    throw error
  }
}

function runItem(
  runner: Runner,
  path: string,
  content: unknown,
  index: number,
): Comparison & { readonly item: CaseItem } {
  const item = readItem(path, content, index)
  try {
    return { item, ...runner(path, item) }
  } catch (error) {
    // Numbers that a function of ours refuses (dependent columns, knots that do not rise) are a fault of the case.
    if (error instanceof RangeError) throw badCase(path, item.id, 'data', error.message)
    throw error
  }
}

/** A case file, or the case files of a folder in order of their names. @throws FileError `cases-unreadable` */
function caseFiles(path: string): string[] {
  try {
    if (!statSync(path).isDirectory()) return [path]
    return readdirSync(path)
      .filter((name) => name.endsWith('.json'))
      .sort()
      .map((name) => join(path, name))
  } catch (cause) {
    throw new FileError(
      'cases-unreadable',
      (cause as NodeJS.ErrnoException).code === 'ENOENT'
        ? `There is no file ${path}.`
        : `${path} cannot be read.`,
      'Name a JSON file of check cases, or a folder of them, as in fixtures/references.',
      { cause },
    )
  }
}
