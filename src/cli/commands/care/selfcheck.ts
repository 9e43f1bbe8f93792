import type { Command } from 'commander'
import type { SelfcheckCase, SelfcheckResult } from '../../../selfcheck/index.js'
import type { GlobalOptions } from '../../context.js'
import { textTable } from '../../render/text-table.js'
import { paint, printJson, printResult } from '../../terminal/terminal.js'

interface SelfcheckOptions extends GlobalOptions {
  readonly cases: readonly string[]
}

/** `selfcheck` runs published cases through the program's own functions. */
export function registerSelfcheck(program: Command): void {
  program
    .command('selfcheck')
    .description("run published check cases through the program's own functions")
    .option('--cases <path...>', 'more case files in the same formats, or folders of them', collectFiles, [])
    .action((_: unknown, command: Command) => selfcheck(command.optsWithGlobals()))
}

function collectFiles(value: string, earlier: readonly string[]): string[] {
  return [...earlier, value]
}

async function selfcheck(options: SelfcheckOptions): Promise<void> {
  const { runSelfcheck } = await import('../../../selfcheck/index.js')
  const result = runSelfcheck(options.cases.length === 0 ? undefined : [...options.cases])
  const failed = result.cases.filter((one) => !one.passed)
  if (options.json) printJson({ ...result, passed: failed.length === 0 })
  else printResult(render(result))
  if (failed.length > 0) process.exitCode = 1
}

function render({ cases, skipped }: SelfcheckResult): string {
  const ids = [...new Set(cases.map((one) => one.id))]
  const rows = ids.flatMap((id) => {
    const own = cases.filter((one) => one.id === id)
    const { source, status } = own[0]!
    return [{ heading: `${id}: ${source} (${status})` }, ...own.map(rowOf)]
  })
  const failed = cases.filter((one) => !one.passed).length
  return [
    'Digits that agree, and digits asked for',
    textTable(
      [
        ...['', 'quantity', 'expected', 'got'].map((title) => ({ title, align: 'left' as const })),
        ...['agree', 'asked'].map((title) => ({ title, align: 'right' as const })),
      ],
      rows,
    ),
    ...(skipped.length === 0 ? [] : ['', 'Not run']),
    ...skipped.map((one) => `  ${one.id}: ${one.why}`),
    '',
    `${cases.length - failed} of ${cases.length} figures agree to the digits asked for.`,
  ].join('\n')
}

function rowOf({ passed, quantity, expected, got, digits, requiredDigits }: SelfcheckCase): string[] {
  return [
    passed ? 'ok' : paint('red', 'SHORT'),
    quantity.replaceAll('_', ' '),
    digitsShown(expected),
    digitsShown(got),
    digits.toFixed(1),
    requiredDigits.toFixed(1),
  ]
}

/** Most digits of a figure that are printed; the document of `--json` has all of them. Judgement: more are not compared by eye. */
const MOST_DIGITS = 10

function digitsShown(value: number): string {
  return Number.isFinite(value) ? String(Number(value.toPrecision(MOST_DIGITS))) : String(value)
}
