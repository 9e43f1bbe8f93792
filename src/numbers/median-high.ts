/**
 * High median: the middle value of an odd number of values, the larger of the two middle ones of an even number. It is
 * always one of the values, unlike the usual median, which is halfway between those two (`median_high` of the Python
 * standard library). Where that does not matter take `median` of simple-statistics.
 *
 * @param values any unit, in any order, at least one; they are not changed
 * @throws RangeError without any value
 * @example medianHigh([3, 1, 4, 2]) // 3
 */
export function medianHigh(values: ArrayLike<number>): number {
  if (values.length === 0) throw new RangeError('No values have no median.')
  return Float64Array.from(values).sort()[Math.floor(values.length / 2)]!
}
