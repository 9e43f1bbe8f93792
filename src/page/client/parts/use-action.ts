import { useState } from 'preact/hooks'
import { TablepaceError } from '../../../errors/index.js'
import { onPage } from '../../wording.js'
import { Refused } from '../model/server.js'

/** A piece of work a button starts: one at a time, and what went wrong in words. */
interface Action {
  readonly busy: boolean
  readonly trouble: string | null
  readonly run: (work: () => Promise<unknown>) => Promise<boolean>
}

/** For a button that asks the server to do something. */
export function useAction(): Action {
  const [busy, setBusy] = useState(false)
  const [trouble, setTrouble] = useState<string | null>(null)
  const run = async (work: () => Promise<unknown>): Promise<boolean> => {
    setBusy(true)
    setTrouble(null)
    try {
      await work()
      return true
    } catch (error) {
      setTrouble(sayTrouble(error))
      return false
    } finally {
      setBusy(false)
    }
  }
  return { busy, trouble, run }
}

/** What went wrong, and the way out, in plain words. */
export function sayTrouble(error: unknown): string {
  if (error instanceof TablepaceError) return onPage(error.inFull)
  if (error instanceof Refused) return `${error.message} ${error.hint}`
  return 'The program cannot be reached just now. Check that it runs and that this device is in its network.'
}
