import type { ComponentType } from 'preact'
import { useEffect, useState } from 'preact/hooks'
import { Notice } from './notice.js'

/** A view whose code is got when it is first opened, so that the page itself is there sooner. */
export function later(load: () => Promise<ComponentType>): ComponentType {
  let loaded: ComponentType | null = null
  return function Later() {
    const [View, setView] = useState<ComponentType | null>(() => loaded)
    const [failed, setFailed] = useState(false)
    useEffect(() => {
      if (View !== null) return
      load().then(
        (view) => {
          loaded = view
          setView(() => view)
        },
        () => setFailed(true),
      )
    }, [View])
    if (View !== null) return <View />
    if (!failed) return <p>Loading …</p>
    return (
      <Notice kind="trouble">
        This part of the page could not be loaded. Check that the program runs, then reload the page.
      </Notice>
    )
  }
}
