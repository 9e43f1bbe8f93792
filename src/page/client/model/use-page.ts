import { createContext } from 'preact'
import { useCallback, useContext, useEffect, useMemo, useRef, useState } from 'preact/hooks'
import type { Axis } from '../../../store/index.js'
import type { LengthUnit } from '../../../units/index.js'
import type { AxisAnswer, LiveState, PageEvent, PageMachine, StartAnswer, TakeAnswer } from '../../api.js'
import { LiveTrack } from './live-track.js'
import { ask, follow, Refused } from './server.js'
import { giveSignal } from './signals.js'

const AXIS_KEPT_AS = 'tablepace.axis'
const UNIT_KEPT_AS = 'tablepace.unit'

/** Everything that the views share. */
export interface Page {
  readonly start: StartAnswer
  readonly machine: PageMachine
  readonly axis: Axis
  readonly unit: LengthUnit
  readonly setUnit: (unit: LengthUnit) => void
  readonly choose: (axisId: number) => void
  readonly data: AxisAnswer
  readonly live: LiveState
  readonly track: LiveTrack
  /** What the latest recording of this axis came to, or null. */
  readonly take: TakeAnswer | null
  readonly setTake: (take: TakeAnswer | null) => void
  readonly connected: boolean
  /** False where the program was started anew and lets this page in no longer. */
  readonly letIn: boolean
  readonly refresh: () => Promise<void>
}

/** How far the page is with getting what it needs. */
export type Loading =
  | { readonly kind: 'loading' }
  | { readonly kind: 'not-let-in' }
  | { readonly kind: 'unreachable' }
  /** The store cannot be read: what is wrong with it, in a sentence. */
  | { readonly kind: 'broken'; readonly message: string }
  /** No axis is in the store yet; `added` takes up the first one. */
  | { readonly kind: 'empty'; readonly added: (axisId: number) => void }
  | { readonly kind: 'ready'; readonly page: Page }

export const PageContext = createContext<Page | null>(null)

/** The page's shared state, inside the views. */
export function usePage(): Page {
  const page = useContext(PageContext)
  if (page === null) throw new Error('usePage outside the page')
  return page
}

const CLOSED: LiveState = {
  ...{ status: 'closed', axisId: null, port: null, dial: null, direction: null },
  ...{ inSession: false, sweep: null, silent: false, trouble: null, conclusions: [], unitIsOpen: false },
}

/** What is heard of a travel through several settings. */
const CUES = { start: 'press', turn: 'turn', 'no-change': 'trouble', stop: 'stop' } as const

/** Loads what the page needs and keeps it fresh. */
export function useLoading(): Loading {
  const [start, setStart] = useState<StartAnswer | null>(null)
  const [axisId, setAxisId] = useState<number | null>(Number(localStorage.getItem(AXIS_KEPT_AS)) || null)
  const [keptUnit, setKeptUnit] = useState<string | null>(localStorage.getItem(UNIT_KEPT_AS))
  const [data, setData] = useState<{ readonly axisId: number; readonly answer: AxisAnswer } | null>(null)
  const [live, setLive] = useState<LiveState>(CLOSED)
  const [take, setTake] = useState<TakeAnswer | null>(null)
  const [connected, setConnected] = useState(false)
  const [letIn, setLetIn] = useState(true)
  const [unreachable, setUnreachable] = useState(false)
  const [broken, setBroken] = useState<string | null>(null)
  const track = useMemo(() => new LiveTrack(), [])

  const found = useMemo(() => (start === null ? null : findAxis(start, axisId)), [start, axisId])
  const shownId = found?.axis.id ?? null
  const shownRef = useRef(shownId)
  shownRef.current = shownId
  const wantedRef = useRef(axisId)
  wantedRef.current = axisId

  /** How often the axis was asked for, and which of these answers is shown. */
  const asked = useRef(0)
  const shownTurn = useRef(0)
  const refresh = useCallback(async () => {
    const id = shownRef.current
    if (id === null) return
    asked.current += 1
    const turn = asked.current
    try {
      const answer = await ask<AxisAnswer>(`axis?id=${id}`)
      // Answers may come in another order than they were asked for; an older one must not hide a newer one.
      if (shownRef.current === id && turn > shownTurn.current) {
        shownTurn.current = turn
        setData({ axisId: id, answer })
      }
      setBroken(null)
    } catch (error) {
      if (error instanceof Refused && error.status !== 401) setBroken(`${error.message} ${error.hint}`)
      throw error
    }
  }, [])

  /** Asks for everything anew; what is known of the axis that is shown comes with it. */
  const load = useCallback(async () => {
    asked.current += 1
    const turn = asked.current
    try {
      const { shown, ...answer } = await ask<StartAnswer>(`start?axis=${wantedRef.current ?? ''}`)
      setStart({ ...answer, shown: null })
      if (shown !== null && turn > shownTurn.current) {
        shownTurn.current = turn
        setData(shown)
      }
      setUnreachable(false)
      setBroken(null)
    } catch (error) {
      if (error instanceof Refused && error.status === 401) setLetIn(false)
      else if (error instanceof Refused) setBroken(`${error.message} ${error.hint}`)
      else setUnreachable(true)
    }
  }, [])

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
  }, [track, refresh, load])

  useEffect(() => {
    // The command line may have worked on the store meanwhile.
    const lookAgain = (): void => {
      if (document.visibilityState === 'visible') void load()
    }
    document.addEventListener('visibilitychange', lookAgain)
    return () => document.removeEventListener('visibilitychange', lookAgain)
  }, [load])

  useEffect(() => {
    if (shownId !== null && data?.axisId !== shownId) void refresh().catch(() => {})
  }, [shownId, data?.axisId, refresh])
  useEffect(() => setTake(null), [shownId])

  // A page that was in keeps what is on it: a timing may be under way.
  if (start === null && !letIn) return { kind: 'not-let-in' }
  // What is on the page already stays, and says itself what it could not get.
  if (broken !== null && (start === null || data?.axisId !== shownId))
    return { kind: 'broken', message: broken }
  if (start === null) return { kind: unreachable ? 'unreachable' : 'loading' }
  const choose = (id: number): void => {
    localStorage.setItem(AXIS_KEPT_AS, String(id))
    setAxisId(id)
  }
  if (found === null) {
    const added = (id: number): void => {
      choose(id)
      void load()
    }
    return { kind: 'empty', added }
  }
  if (data === null || data.axisId !== found.axis.id) return { kind: 'loading' }
  const straight = keptUnit === 'in' || keptUnit === 'mm' ? keptUnit : found.machine.unit
  const unit = found.axis.rotary ? 'deg' : straight
  return {
    kind: 'ready',
    page: {
      ...{
        start,
        ...found,
        unit,
        data: data.answer,
        live,
        track,
        take,
        setTake,
        connected,
        letIn,
        refresh,
        choose,
      },
      setUnit: (next) => {
        localStorage.setItem(UNIT_KEPT_AS, next)
        setKeptUnit(next)
      },
    },
  }
}

/** The axis that was chosen last, else the first there is. */
function findAxis(start: StartAnswer, axisId: number | null): { machine: PageMachine; axis: Axis } | null {
  const all = start.machines.flatMap((machine) => machine.axes.map((axis) => ({ machine, axis })))
  return all.find(({ axis }) => axis.id === axisId) ?? all[0] ?? null
}
