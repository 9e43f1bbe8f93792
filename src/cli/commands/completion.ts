import { Argument, type Command } from 'commander'
import type { Shell } from '../completion/index.js'
import { type AxisOptions, type GlobalOptions, withStore } from '../context.js'
import { printContent, printJson, printResult } from '../terminal/terminal.js'

const HELP = `
Once for every shell that opens:
  bash        echo 'source <(tablepace completion bash)' >> ~/.bashrc
  zsh         echo 'source <(tablepace completion zsh)' >> ~/.zshrc      (after compinit)
  fish        tablepace completion fish > ~/.config/fish/completions/tablepace.fish
  powershell  Add-Content $PROFILE 'tablepace completion powershell | Out-String | Invoke-Expression'

Example
  tablepace completion bash
`

interface CompleteOptions extends AxisOptions {
  readonly partial?: string
}

/** `completion` prints what a shell needs; the hidden `complete` is what that then asks. */
export function registerCompletion(program: Command): void {
  program
    .command('completion')
    .description('print the script that lets your shell complete commands and names')
    .addArgument(
      new Argument('<shell>', 'your shell').choices(['bash', 'zsh', 'fish', 'powershell'] satisfies Shell[]),
    )
    .addHelpText('after', HELP)
    .action(async (shell: Shell, _: unknown, command: Command) => {
      const { completionScript } = await import('../completion/index.js')
      const script = completionScript(shell)
      if (command.optsWithGlobals<GlobalOptions>().json) printJson({ shell, script })
      else printContent(script)
    })
  program
    .command('complete [words...]', { hidden: true })
    .option('--partial <word>', 'word at the cursor')
    .action((words: string[], _: unknown, command: Command) =>
      printCandidates(program, words, command.optsWithGlobals()),
    )
}

function printCandidates(
  program: Command,
  words: readonly string[],
  options: CompleteOptions,
): Promise<void> {
  // The store that the unfinished command names, which is none of ours.
  const named = words[words.indexOf('--store') + 1]
  const store = words.includes('--store') && named !== undefined ? { store: named } : {}
  return withStore({ ...options, ...store }, 'read', async (store) => {
    const { candidates } = await import('../completion/index.js')
    const machines = () => store.machines.list()
    const found = candidates(program, words, options.partial ?? '', {
      machines: () => machines().map(({ name }) => name),
      axes: () => [...new Set(machines().flatMap(({ id }) => store.axes.list(id).map(({ name }) => name)))],
    })
    if (options.json) return printJson({ candidates: found })
    if (found.length > 0) printResult(found.join('\n'))
  })
}
