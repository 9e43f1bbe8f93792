import type { ComponentChildren } from 'preact'
import { useEffect, useRef } from 'preact/hooks'

/** What came of a form. It stands below it, where a phone does not show it by itself. */
export function Result({ children }: { children: ComponentChildren }) {
  const shown = useRef<HTMLDivElement>(null)
  useEffect(() => shown.current?.scrollIntoView({ block: 'nearest' }), [])
  return (
    <div role="status" ref={shown}>
      {children}
    </div>
  )
}
