import type { Command } from 'commander'
import type { Finding } from '../../../jobs/index.js'
import { type GlobalOptions, storePath } from '../../context.js'
import { paint, printJson, printResult } from '../../terminal/terminal.js'
import { onCommandLine } from '../../wording.js'

/** `doctor` looks at the store, the disk, the clocks and the ports, and says what to do. */
export function registerDoctor(program: Command): void {
  program
    .command('doctor')
    .description('check store, disk, clock and ports, and say what to do')
    .action((_: unknown, command: Command) => doctor(command.optsWithGlobals()))
}

async function doctor(options: GlobalOptions): Promise<void> {
  const [{ examine }, { listPorts }] = await Promise.all([
    import('../../../jobs/index.js'),
    import('../../../ingest/index.js'),
  ])
  const findings = await examine(await storePath(options), await listPorts())
  if (options.json) printJson({ findings })
  else printResult(findings.map(render).join('\n'))
  if (findings.some(({ state }) => state === 'bad')) process.exitCode = 5
}

const STATE_STYLE = { ok: 'green', look: 'yellow', bad: 'red' } as const

function render({ check, state, finding, wayOut }: Finding): string {
  const label = `${paint(STATE_STYLE[state], state.padEnd(4))}  ${check.padEnd(5)}`
  return `${label}  ${finding}${wayOut === null ? '' : `\n             ${onCommandLine(wayOut)}`}`
}
