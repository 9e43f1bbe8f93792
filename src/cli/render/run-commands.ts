import { READ_TWICE } from '../../jobs/index.js'
import { ODD_RUN } from '../../regression/index.js'

/** The command that acts on what a warning says of a run, as a sentence; null where there is none to give. */
export function commandFor(code: string, runIds: readonly string[]): string | null {
  if (code === ODD_RUN) return `  Leave it out with: ${runIds.map(dropCommand).join('  or  ')}`
  if (code === READ_TWICE) {
    return `  A run of its own after all? ${runIds.map((id) => `tablepace run keep ${id}`).join('  or  ')}`
  }
  return null
}

function dropCommand(id: string): string {
  return `tablepace run drop ${id} --reason "odd run"`
}
