import type { ComponentType } from 'preact'
import { useEffect, useState } from 'preact/hooks'

/** One screen of a place, by what stands in the address behind the place: `#/look-up/card`. */
export interface View {
  readonly path: string
  readonly name: string
  readonly view: ComponentType
  /** Reached from elsewhere, and in no list of the place. */
  readonly unlisted?: boolean
}

/** One of the places of the page. */
export interface Place {
  readonly path: string
  readonly name: string
  readonly views: readonly View[]
}

/** Addresses of single screens as they were once bookmarked, and as the program's own hints still may name them. */
const ALSO: Readonly<Record<string, string>> = {
  feeds: 'look-up',
  cut: 'look-up/cut',
  card: 'look-up/card',
  plan: 'measure',
  record: 'measure/record',
  stopwatch: 'measure/stopwatch',
  recheck: 'check',
  phone: 'machine/phone',
}

/** The place and the view that the address names, followed as it changes; the first of each where it names none. */
export function useAddress(places: readonly Place[]): { readonly place: Place; readonly view: View } {
  const [path, setPath] = useState(pathNow)
  useEffect(() => {
    const follow = (): void => {
      setPath(pathNow())
      scrollTo(0, 0)
    }
    addEventListener('hashchange', follow)
    return () => removeEventListener('hashchange', follow)
  }, [])
  const [first, second = ''] = path.split('/')
  const place = places.find((one) => one.path === first) ?? places[0]!
  return { place, view: place.views.find((one) => one.path === second) ?? place.views[0]! }
}

/** Where a view of a place is found. */
export function addressOf(place: Place, view: View): string {
  return view.path === '' ? `#/${place.path}` : `#/${place.path}/${view.path}`
}

function pathNow(): string {
  const path = /^#\/([a-z/-]+)/.exec(location.hash)?.[1] ?? ''
  return ALSO[path] ?? path
}
