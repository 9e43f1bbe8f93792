import { useEffect, useMemo, useRef, useState } from 'preact/hooks'
import type { LiveState, PageEvent, TakeAnswer } from '../../api.js'
import { LiveTrack } from './live-track.js'
import { follow } from './server.js'
import { giveSignal } from './signals.js'
import type { Answers } from './use-answers.js'

/** What the program tells by itself. */
export interface Heard {
  readonly live: LiveState
  readonly track: LiveTrack
  /** What the latest recording of this axis came to, or null. */
  readonly take: TakeAnswer | null
  readonly setTake: (take: TakeAnswer | null) => void
  readonly connected: boolean
}

const CLOSED: LiveState = {
  ...{ status: 'closed', axisId: null, port: null, dial: null, direction: null },
  ...{ inSession: false, sweep: null, silent: false, trouble: null, conclusions: [], unitIsOpen: false },
}

/** What is heard of a travel through several settings. */
const CUES = { start: 'press', turn: 'turn', 'no-change': 'trouble', stop: 'stop' } as const

/** Follows what the program tells, asks again where it says that something has changed, and gives the signals. */
export function useEvents(
  shownId: number | null,
  { data, load, refresh, setLetIn }: Pick<Answers, 'data' | 'load' | 'refresh' | 'setLetIn'>,
): Heard {
  const [live, setLive] = useState<LiveState>(CLOSED)
  const [take, setTake] = useState<TakeAnswer | null>(null)
  const [connected, setConnected] = useState(false)
  const track = useMemo(() => new LiveTrack(), [])
  const sessionId = data?.session?.id
  const shownRef = useRef(shownId)
  shownRef.current = shownId

  useEffect(() => {
    const onEvent = (event: PageEvent): void => {
      if (event.kind === 'live') setLive(event.state)
      else if (event.kind === 'take') {
        if (event.axisId === shownRef.current) {
          setTake(event.take)
          giveSignal(event.take.problem === null ? 'done' : 'trouble')
        }
      } else if (event.kind === 'sweep' && event.axisId === shownRef.current) giveSignal(CUES[event.cue.cue])
      else if (event.kind === 'machines') void load()
      else if (event.kind === 'changed') void refresh().catch(() => {})
      track.take(event)
    }
    const onConnected = (now: boolean): void => {
      setConnected(now)
      if (!now) return
      setLetIn(true)
      // The server tells anew how things stand, beginning with what it still has of the track.
      track.clear()
      void load()
    }
    void follow({ onEvent, onConnected, onRefused: () => setLetIn(false) })
  }, [track, refresh, load, setLetIn])
  // What a run came to is of no use to the next axis or session.
  useEffect(() => setTake(null), [shownId, sessionId])

  return { live, track, take, setTake, connected }
}
