import { describe, expect, it } from 'vitest'
import {
  cornerForms,
  directionsAtMarks,
  LOG_PLAIN,
  logWeightOf,
  stretchForms,
} from '../../../src/regression/curve/curve-forms.js'
import { whitenFeatures } from '../../../src/regression/curve/features-at-marks.js'

const places = [0, 0.1, 0.35, 0.6, 1]
const shareOf = (forms: readonly { readonly logPrior: number }[]) =>
  forms.reduce((sum, { logPrior }) => sum + Math.exp(logPrior), 0)

it('what a dial may have is all of it, beforehand: half nothing, and a sixth each of three kinds', () => {
  const { forms: corners } = cornerForms(places)
  const { forms } = stretchForms(places)
  const isStretch = ({ form }: (typeof forms)[number]) => form.stretch.length > 0
  expect(Math.exp(LOG_PLAIN)).toBeCloseTo(1 / 2, 12)
  expect(shareOf(corners)).toBeCloseTo(1 / 6, 12)
  expect(shareOf(forms.filter(isStretch))).toBeCloseTo(1 / 6, 12)
  expect(shareOf(forms.filter((form) => !isStretch(form)))).toBeCloseTo(1 / 6, 12)
})

it('stretchForms(places) tries a stretch as often as its gap is wide, across each mark alike, and every pair of corners', () => {
  const { forms } = stretchForms(places)
  const priorOf = (stretch: number[]) =>
    Math.exp(forms.find(({ form }) => `${form.stretch}` === `${stretch}`)!.logPrior)
  expect(priorOf([3]) / priorOf([0])).toBeCloseTo(0.4 / 0.1, 12)
  expect(priorOf([0, 1])).toBeCloseTo(priorOf([2, 3]), 12)
  const pairs = forms.filter(({ form }) => form.kinks.length === 2)
  expect(pairs).toHaveLength((16 * 15) / 2)
  for (const { form } of pairs) expect(form.kinks[0]!.place).toBeLessThan(form.kinks[1]!.place)
})

describe('directionsAtMarks(places, form)', () => {
  it('are a ramp past each corner and half a gap past each stretch', () => {
    expect(directionsAtMarks([0, 0.5, 1], { kinks: [{ place: 0.25 }], stretch: [1] })).toEqual([
      [0, 0.25, 0.75],
      [0, 0, 0.25],
    ])
  })
})

it('logWeightOf(list, form) adds what its own features gain: both of two, the one of one', () => {
  const list = stretchForms(places)
  const identity = Float64Array.from({ length: 25 }, (_, at) => (at % 6 === 0 ? 1 : 0))
  const measured = Float64Array.from([0.3, -0.2, 0.9, 1.4, -0.5])
  whitenFeatures(list.features, identity, measured)
  for (const listed of [list.forms[0]!, list.forms[5]!, list.forms.at(-1)!]) {
    // By hand: of unit covariance and features d the covariance is 1 + Σdd′; two of them by a matrix of two by two.
    const features = directionsAtMarks(places, listed.form)
    const times = (a: readonly number[], b: readonly number[]) => a.reduce((sum, x, i) => sum + x * b[i]!, 0)
    const [a, b = a.map(() => 0)] = features as [number[], number[]?]
    const [aa, ab, bb] = [1 + times(a, a), times(a, b), 1 + times(b, b)]
    const [ya, yb] = [times(a, [...measured]), times(b, [...measured])]
    const determinant = aa * bb - ab * ab
    const gain = (bb * ya * ya - 2 * ab * ya * yb + aa * yb * yb) / determinant - Math.log(determinant)
    expect(logWeightOf(list, listed)).toBeCloseTo(listed.logPrior + gain / 2, 12)
  }
})
