import { useState } from 'preact/hooks'

/** A value that this browser keeps over a reload; `initial` where it has none, or none that can be read. */
export function useKept<T extends object>(name: string, initial: T): [T, (value: T) => void] {
  const [kept, setKept] = useState<{ readonly name: string; readonly value: T }>(() => ({
    name,
    value: readKept(name, initial),
  }))
  const value = kept.name === name ? kept.value : readKept(name, initial)
  return [
    value,
    (next) => {
      localStorage.setItem(name, JSON.stringify(next))
      setKept({ name, value: next })
    },
  ]
}

function readKept<T extends object>(name: string, initial: T): T {
  try {
    return { ...initial, ...(JSON.parse(localStorage.getItem(name) ?? '{}') as Partial<T>) }
  } catch {
    return initial
  }
}
