import { createContext } from 'preact'
import { useContext, useState } from 'preact/hooks'
import type { Axis } from '../../../store/index.js'
import type { LengthUnit } from '../../../units/index.js'
import type { AxisAnswer, PageMachine, StartAnswer } from '../../api.js'
import { type Trouble, useAnswers } from './use-answers.js'
import { type Heard, useEvents } from './use-events.js'

const AXIS_KEPT_AS = 'tablepace.axis'
const UNIT_KEPT_AS = 'tablepace.unit'

/** Everything that the views share. */
export interface Page extends Heard {
  readonly start: StartAnswer
  readonly machine: PageMachine
  readonly axis: Axis
  readonly unit: LengthUnit
  readonly setUnit: (unit: LengthUnit) => void
  readonly choose: (axisId: number) => void
  readonly data: AxisAnswer
  /** False where the program was started anew and lets this page in no longer. */
  readonly letIn: boolean
  readonly refresh: () => Promise<void>
}

/** How far the page is with getting what it needs. */
export type Loading =
  | { readonly kind: 'loading' }
  | { readonly kind: 'not-let-in' }
  | Trouble
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

/** Loads what the page needs and keeps it fresh. */
export function useLoading(): Loading {
  const [axisId, setAxisId] = useState<number | null>(Number(localStorage.getItem(AXIS_KEPT_AS)) || null)
  const [keptUnit, setKeptUnit] = useState<string | null>(localStorage.getItem(UNIT_KEPT_AS))
  const answers = useAnswers(axisId)
  const { start, found, data, trouble, letIn, load, refresh } = answers
  const events = useEvents(found?.axis.id ?? null, answers)

  // A page that was in keeps what is on it: a timing may be under way.
  if (start === null && !letIn) return { kind: 'not-let-in' }
  // What is on the page already stays, and says itself what it could not get.
  if (trouble?.kind === 'broken' && (start === null || data === null)) return trouble
  if (start === null) return trouble ?? { kind: 'loading' }
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
  if (data === null) return { kind: 'loading' }
  const setUnit = (next: LengthUnit): void => {
    localStorage.setItem(UNIT_KEPT_AS, next)
    setKeptUnit(next)
  }
  const straight = keptUnit === 'in' || keptUnit === 'mm' ? keptUnit : found.machine.unit
  const unit = found.axis.rotary ? 'deg' : straight
  return { kind: 'ready', page: { start, ...found, unit, setUnit, choose, data, ...events, letIn, refresh } }
}
