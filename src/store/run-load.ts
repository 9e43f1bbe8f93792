import type { Run } from './measurement-types.js'

/** Whether a run was made under cut, as its tag `load=cutting` says; a run without the tag was made free. */
export function isCutting(run: Pick<Run, 'tags'>): boolean {
  return run.tags.load?.toLowerCase() === 'cutting'
}
