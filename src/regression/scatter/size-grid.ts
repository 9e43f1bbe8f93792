/** Sizes that an effect is tried with: so many, each the same factor above the one before. */
interface SizeGrid {
  readonly from: number
  readonly to: number
  readonly count: number
}

/** The sizes of a grid, rising. */
export function sizesOf({ from, to, count }: SizeGrid): number[] {
  return Array.from({ length: count }, (_, k) => from * (to / from) ** (k / (count - 1)))
}

/**
 * The sizes of a grid with how probable each is beforehand; weights sum to 1.
 *
 * @param density over the logarithm of the size, but for a constant: that over the size times the size
 */
export function sizePrior(
  grid: SizeGrid,
  density: (size: number) => number,
): { readonly size: number; readonly weight: number }[] {
  return summingToOne(sizesOf(grid).map((size) => ({ size, weight: density(size) })))
}

/** The parts with weights that sum to 1. */
export function summingToOne<P extends { readonly weight: number }>(parts: readonly P[]): P[] {
  const total = parts.reduce((sum, { weight }) => sum + weight, 0)
  return parts.map((part) => ({ ...part, weight: part.weight / total }))
}
