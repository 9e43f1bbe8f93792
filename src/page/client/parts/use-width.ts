import type { RefObject } from 'preact'
import { useLayoutEffect, useState } from 'preact/hooks'

/** The width of an element in px, kept up to date; pictures are drawn at their true size, so that text stays legible. */
export function useWidth(ref: RefObject<HTMLElement>): number {
  const [width, setWidth] = useState(0)
  useLayoutEffect(() => {
    const element = ref.current
    if (element === null) return
    setWidth(element.clientWidth)
    const observer = new ResizeObserver(() => setWidth(element.clientWidth))
    observer.observe(element)
    return () => observer.disconnect()
  }, [ref])
  return width
}
