import type { Command } from 'commander'
import type { SelfcheckResult } from '../../../selfcheck/index.js'
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

function render(result: SelfcheckResult): string {
  const rows = result.cases.map((one) => [
    one.passed ? 'ok' : paint('red', 'SHORT'),
    one.id,
    one.quantity,
    String(one.expected),
    String(one.got),
    `${one.digits.toFixed(1)} of ${one.requiredDigits}`,
  ])
  const titles = ['', 'case', 'quantity', 'expected', 'got', 'digits']
  const sources = new Map(result.cases.map((one) => [one.id, `${one.source} (${one.status})`]))
  const failed = result.cases.filter((one) => !one.passed).length
  return [
    textTable(
      titles.map((title) => ({ title, align: 'left' as const })),
      rows,
    ),
    '',
    'Sources',
    ...[...sources].map(([id, source]) => `  ${id}: ${source}`),
    ...(result.skipped.length === 0 ? [] : ['', 'Not run']),
    ...result.skipped.map((one) => `  ${one.id}: ${one.why}`),
    '',
    `${result.cases.length - failed} of ${result.cases.length} figures agree to the digits asked for.`,
  ].join('\n')
}
