/**
 * A number with its noun, in the plural where it is not one.
 *
 * @example countOf(3, 'run') // '3 runs'
 */
export function countOf(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`
}
