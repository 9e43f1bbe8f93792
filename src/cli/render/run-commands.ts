import { READ_TWICE } from '../../jobs/index.js'
import { ODD_RUN } from '../../regression/index.js'
import { shortId } from '../../text/index.js'

/** A warning about runs. */
interface RunsWarning {
  readonly code: string
  readonly message: string
  readonly runIds?: readonly string[] | undefined
}

/** Runs that a note names in commands. Judgement: a sheet read in twice has dozens. */
const MOST_NAMED = 3

/** Each warning once, with the commands that act on its runs. */
export function notesOn(
  warnings: readonly RunsWarning[],
): { readonly message: string; readonly commands: readonly string[] }[] {
  return [...new Set(warnings.map(({ message }) => message))].map((message) => {
    const alike = warnings.filter((warning) => warning.message === message)
    const runIds = [...new Set(alike.flatMap((warning) => warning.runIds ?? []))]
    return { message, commands: commandsFor(alike[0]?.code ?? '', runIds) }
  })
}

function commandsFor(code: string, runIds: readonly string[]): string[] {
  const named = runIds.slice(0, MOST_NAMED)
  if (code === ODD_RUN)
    return named.map((id) => `  Leave it out with: tablepace run drop ${shortId(id)} --reason "odd run"`)
  if (code === READ_TWICE)
    return named.map((id) => `  A run of its own after all? tablepace run keep ${shortId(id)}`)
  return []
}
