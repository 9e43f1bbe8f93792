/**
 * Adds the product of a matrix and a vector to `sum`, in place; four rows at a time, because one row alone waits for each of
 * its own additions.
 *
 * @param matrix row-major, one row for each value of `sum` and one column for each value of `vector` that counts
 * @param columns how many values of `vector` count
 * @example addProduct(Float64Array.of(10, 0), Float64Array.of(1, 2, 3, 4), Float64Array.of(1, 1), 2) // 13, 7
 */
export function addProduct(
  sum: Float64Array,
  matrix: Float64Array,
  vector: Float64Array,
  columns: number,
): Float64Array {
  const rows = sum.length
  let i = 0
  for (; i + 4 <= rows; i += 4) {
    const first = i * columns
    const second = first + columns
    const third = second + columns
    const fourth = third + columns
    let ofFirst = sum[i]!
    let ofSecond = sum[i + 1]!
    let ofThird = sum[i + 2]!
    let ofFourth = sum[i + 3]!
    for (let k = 0; k < columns; k++) {
      const value = vector[k]!
      ofFirst += matrix[first + k]! * value
      ofSecond += matrix[second + k]! * value
      ofThird += matrix[third + k]! * value
      ofFourth += matrix[fourth + k]! * value
    }
    sum[i] = ofFirst
    sum[i + 1] = ofSecond
    sum[i + 2] = ofThird
    sum[i + 3] = ofFourth
  }
  for (; i < rows; i++) {
    let own = sum[i]!
    for (let k = 0, at = i * columns; k < columns; k++, at++) own += matrix[at]! * vector[k]!
    sum[i] = own
  }
  return sum
}
