import type { Run } from './measurement-types.js'

/** Whether a run counts: it was accepted, and nobody left it out since. */
export function isCounting(run: Pick<Run, 'accepted' | 'droppedAt'>): boolean {
  return run.accepted && run.droppedAt === null
}
