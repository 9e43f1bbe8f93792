/** Why a run cannot be what its numbers say. */
export interface Contradiction {
  readonly code: ContradictionCode
  /** What contradicts what, and the likely cause. */
  readonly message: string
  /** Whether it speaks against every run that was read from the readout in the same way. */
  readonly ofReadout: boolean
}

type ContradictionCode = 'beyond-travel' | 'unit-mismatch' | 'unit-by-ripple' | 'time-unit'

const WAYS_OUT: Readonly<Record<ContradictionCode, string>> = {
  'beyond-travel':
    'Correct the unit or the distance. If the table does go that far, correct the travel of the axis.',
  'unit-mismatch':
    'Correct the unit or the entry, or set the dial again and repeat the run. If the earlier runs are the wrong ones, leave them out. If the gearing was changed, record with the tag gearing=changed.',
  'unit-by-ripple': 'Look at the readout and give its unit.',
  'time-unit': 'Write the times in seconds.',
}

/** What to do about a run that was refused with this code; null for other codes. */
export function wayOut(code: string): string | null {
  return WAYS_OUT[code as ContradictionCode] ?? null
}
