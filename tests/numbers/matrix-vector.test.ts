import { expect, test } from 'vitest'
import { addProduct, seededUniform } from '../../src/numbers/index.js'

test.each([1, 3, 4, 9])('adds to each of %i values the product of its row and the vector', (rows) => {
  const columns = 5
  const random = seededUniform(rows)
  const matrix = Float64Array.from({ length: rows * columns }, random)
  // The vector may be longer than the matrix is wide.
  const vector = Float64Array.from({ length: columns + 2 }, random)
  const before = Float64Array.from({ length: rows }, random)
  const wanted = [...before].map((value, i) =>
    [...matrix.slice(i * columns, (i + 1) * columns)].reduce((sum, one, k) => sum + one * vector[k]!, value),
  )
  expect([...addProduct(before, matrix, vector, columns)]).toEqual(wanted)
})
