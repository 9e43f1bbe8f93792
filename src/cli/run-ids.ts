import type { Store } from '../store/index.js'

/**
 * The runs that a list separated by commas names, by whole ids or by beginnings or ends of them.
 *
 * @throws UsageError `unknown-run`, `which-run`
 */
export function runIdsNamed(store: Store, text: string): string[] {
  return text
    .split(',')
    .map((part) => part.trim())
    .filter((part) => part !== '')
    .map((part) => store.runs.find(part).id)
}
