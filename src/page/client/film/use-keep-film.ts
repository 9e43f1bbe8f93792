import { useState } from 'preact/hooks'
import type { TakeAnswer } from '../../api.js'
import { giveSignal } from '../model/signals.js'
import { clientId, nextSequence } from '../model/timings.js'
import { usePage } from '../model/use-page.js'
import { useAction } from '../parts/use-action.js'

/** What names the run of a film, so that sending it twice keeps it once. */
interface FilmName {
  readonly clientId: string
  readonly sequence: number
  readonly axisId: number
}

/** Keeps what was read of a film as a run. */
export function useKeepFilm() {
  const { axis, setTake, refresh } = usePage()
  /** Drawn once for what is read as it is, so that keeping it again after a lost answer keeps it once. */
  const [sequence, setSequence] = useState<number | null>(null)
  const { busy, trouble, run } = useAction()
  const keep = (send: (name: FilmName) => Promise<TakeAnswer>, kept: () => void): Promise<boolean> =>
    run(async () => {
      const named = sequence ?? nextSequence()
      setSequence(named)
      const take = await send({ clientId: clientId(), sequence: named, axisId: axis.id })
      setTake(take)
      giveSignal(take.problem === null ? 'done' : 'trouble')
      kept()
      await refresh()
    })
  return { busy, trouble, keep, changed: () => setSequence(null) }
}
