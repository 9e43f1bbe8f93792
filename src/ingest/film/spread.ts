/** So many of them, evenly spread. */
export function spread<T>(all: readonly T[], count: number): T[] {
  if (all.length <= count) return [...all]
  return Array.from({ length: count }, (_, i) => all[Math.floor(((i + 0.5) * all.length) / count)]!)
}
