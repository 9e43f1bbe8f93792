import { useEffect, useState } from 'preact/hooks'

/** Time without another key after which a text counts as typed, ms. Judgement: longer than from key to key. */
const SETTLED_AFTER_MS = 400

/** A text as it stands once nobody types on it any more. */
export function useSettled(text: string): string {
  const [settled, setSettled] = useState(text)
  useEffect(() => {
    const timer = setTimeout(() => setSettled(text), SETTLED_AFTER_MS)
    return () => clearTimeout(timer)
  }, [text])
  return settled
}
