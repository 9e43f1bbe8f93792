import { useCallback, useEffect, useState } from 'preact/hooks'
import { ask } from '../model/server.js'
import { sayTrouble } from './use-action.js'

/** An answer of the server, and what went wrong with getting it. */
export interface Answer<T> {
  readonly answer: T | null
  readonly trouble: string | null
  readonly reload: () => Promise<void>
}

/**
 * Asks the server, again whenever the question or `since` changes.
 *
 * @param question null where there is nothing to ask yet
 * @param since what the answer depends on besides, such as the runs of the axis
 */
export function useAnswer<T>(question: string | null, since: unknown = null): Answer<T> {
  const [got, setGot] = useState<{ readonly question: string; readonly answer: T } | null>(null)
  const [trouble, setTrouble] = useState<string | null>(null)
  const reload = useCallback(async () => {
    if (question === null) return
    try {
      const answer = await ask<T>(question)
      setGot({ question, answer })
      setTrouble(null)
    } catch (error) {
      setTrouble(sayTrouble(error))
    }
  }, [question])
  // `since` is what makes an answer old.
  useEffect(() => {
    void reload()
  }, [reload, since])
  // What was answered to another question is none to this one.
  return { answer: got !== null && got.question === question ? got.answer : null, trouble, reload }
}
