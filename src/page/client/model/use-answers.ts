import { useCallback, useEffect, useMemo, useRef, useState } from 'preact/hooks'
import type { Axis } from '../../../store/index.js'
import type { AxisAnswer, PageMachine, StartAnswer } from '../../api.js'
import { ask, Refused } from './server.js'

/** Why nothing was answered. */
export type Trouble =
  | { readonly kind: 'unreachable' }
  /** The store cannot be read: what is wrong with it, in a sentence. */
  | { readonly kind: 'broken'; readonly message: string }

/** What the program answered of the store, and how it is asked again. */
export interface Answers {
  readonly start: StartAnswer | null
  /** The axis that is shown; null as long as the store has none. */
  readonly found: { readonly machine: PageMachine; readonly axis: Axis } | null
  /** What is known of that axis; null until it has come. */
  readonly data: AxisAnswer | null
  readonly trouble: Trouble | null
  readonly letIn: boolean
  readonly setLetIn: (letIn: boolean) => void
  /** Asks for everything anew; what is known of the axis that is shown comes with it. */
  readonly load: () => Promise<void>
  /** Asks anew for the axis that is shown. */
  readonly refresh: () => Promise<void>
}

/**
 * How often a page that stays open looks again by itself, ms: what a check run tells of today ends six hours after the last
 * run without anything happening. Judgement: what is said of a day may be so much out of date.
 */
const LOOK_AGAIN_MS = 600_000

/**
 * Asks for the machines of the store and for the axis wanted, and again when another axis is wanted, the page is looked at
 * again, or it has been open for a while.
 */
export function useAnswers(wantedId: number | null): Answers {
  const [start, setStart] = useState<StartAnswer | null>(null)
  const [data, setData] = useState<{ readonly axisId: number; readonly answer: AxisAnswer } | null>(null)
  const [letIn, setLetIn] = useState(true)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const found = useMemo(() => (start === null ? null : findAxis(start, wantedId)), [start, wantedId])
  const shownId = found?.axis.id ?? null
  const shownRef = useRef(shownId)
  shownRef.current = shownId
  const wantedRef = useRef(wantedId)
  wantedRef.current = wantedId
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
      setTrouble(null)
    } catch (error) {
      if (error instanceof Refused && error.status !== 401) setTrouble(broken(error))
      throw error
    }
  }, [])

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
      setTrouble(null)
    } catch (error) {
      if (error instanceof Refused && error.status === 401) setLetIn(false)
      else setTrouble(error instanceof Refused ? broken(error) : { kind: 'unreachable' })
    }
  }, [])

  useEffect(() => {
    // The command line may have worked on the store meanwhile.
    const lookAgain = (): void => {
      if (document.visibilityState === 'visible') void load()
    }
    document.addEventListener('visibilitychange', lookAgain)
    const timer = setInterval(lookAgain, LOOK_AGAIN_MS)
    return () => {
      document.removeEventListener('visibilitychange', lookAgain)
      clearInterval(timer)
    }
  }, [load])
  useEffect(() => {
    if (shownId !== null && data?.axisId !== shownId) void refresh().catch(() => {})
  }, [shownId, data?.axisId, refresh])

  const shown = data?.axisId === shownId ? (data?.answer ?? null) : null
  return { start, found, data: shown, trouble, letIn, setLetIn, load, refresh }
}

function broken({ message, hint }: Refused): Trouble {
  return { kind: 'broken', message: `${message} ${hint}` }
}

/** The axis that was chosen last, else the first there is. */
function findAxis(start: StartAnswer, axisId: number | null): { machine: PageMachine; axis: Axis } | null {
  const all = start.machines.flatMap((machine) => machine.axes.map((axis) => ({ machine, axis })))
  return all.find(({ axis }) => axis.id === axisId) ?? all[0] ?? null
}
