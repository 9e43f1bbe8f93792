import type { RunSource } from '../../../store/index.js'
import type { Direction } from '../../../traverse/index.js'
import { useKept } from './kept.js'
import { usePage } from './use-page.js'

/** How a person on this device wants to measure; kept, so that the next time it is asked for with one tap. */
export interface Begin {
  readonly source: RunSource
  /** The way of each source: `until-good`, `sweep`, `sweep-until-good`, or the name of a procedure. */
  readonly readout: string
  readonly stopwatch: string
  /** How well the feeds shall be known, percent, as typed. */
  readonly within: string
  readonly directions: readonly Direction[]
}

/** The choice of this device; before there is one, it is measured as the newest run was. */
export function useBegin(): [Begin, (changes: Partial<Begin>) => void] {
  const { live, data } = usePage()
  const source = live.status !== 'closed' ? 'readout' : (data.runs[0]?.source ?? 'stopwatch')
  const usual: Begin = {
    ...{ source, readout: 'until-good', stopwatch: 'until-good', within: '2', directions: [1, -1] },
  }
  const [begin, setBegin] = useKept<Begin>('tablepace.begin', usual)
  return [begin, (changes) => setBegin({ ...begin, ...changes })]
}
