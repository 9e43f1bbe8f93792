import type { Run } from './measurement-types.js'

/** The tag that says whether a run was made free or under cut: `--tag load=cutting`. */
export const LOAD_TAG = 'load'
/** The value of the tag for a run made under cut. */
export const CUTTING = 'cutting'

/** Whether a run was made under cut, as its tag `load=cutting` says; a run without the tag was made free. */
export function isCutting(run: Pick<Run, 'tags'>): boolean {
  return run.tags[LOAD_TAG]?.toLowerCase() === CUTTING
}
