import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { clockAgreement, clockOffset } from '../../../src/ingest/index.js'

/** An exchange with known ways there and back, s. */
function exchange(sentS: number, offsetS: number, thereS: number, backS: number, workS = 0.001) {
  const serverReceivedS = sentS + thereS + offsetS
  const serverSentS = serverReceivedS + workS
  return { sentS, serverReceivedS, serverSentS, receivedS: serverSentS - offsetS + backS }
}

describe('clockOffset(exchanges)', () => {
  it('gives offset and delay of RFC 5905, section 8, on a worked exchange', () => {
    // T1 = 10, T2 = 25.2, T3 = 25.3, T4 = 10.5: θ = ½((25.2 − 10) + (25.3 − 10.5)) = 15, δ = 0.5 − 0.1 = 0.4.
    const offset = clockOffset([{ sentS: 10, serverReceivedS: 25.2, serverSentS: 25.3, receivedS: 10.5 }])!
    expect(offset.offsetS).toBeCloseTo(15, 12)
    expect(offset.halfWidthS).toBeCloseTo(0.2, 12)
    expect(offset.atS).toBeCloseTo(10.25, 12)
  })

  it('holds the true offset within its half width, however unequal the ways are', () => {
    const way = fc.double({ min: 0, max: 2, noNaN: true })
    fc.assert(
      fc.property(
        fc.double({ min: -1e6, max: 1e6, noNaN: true }),
        fc.array(fc.tuple(way, way), { minLength: 1, maxLength: 8 }),
        (offsetS, ways) => {
          const found = clockOffset(
            ways.map(([there, back], index) => exchange(100 + 5 * index, offsetS, there, back)),
          )!
          expect(Math.abs(found.offsetS - offsetS)).toBeLessThanOrEqual(found.halfWidthS + 1e-8)
        },
      ),
    )
  })

  it('takes a way that only rounding makes less than nothing for none', () => {
    expect(clockOffset([exchange(100, 29.771423262296974, 0, 0)])!.halfWidthS).toBe(0)
  })

  it('trusts the exchange with the shortest way', () => {
    const found = clockOffset([
      exchange(0, 3, 0.9, 0.1),
      exchange(2, 3, 0.004, 0.004),
      exchange(4, 3, 0.1, 0.7),
    ])!
    expect(found.offsetS).toBeCloseTo(3, 12)
    expect(found.halfWidthS).toBeCloseTo(0.004, 12)
  })

  it('says nothing without an exchange that makes sense', () => {
    expect(clockOffset([])).toBeNull()
    expect(clockOffset([{ sentS: 1, serverReceivedS: 5, serverSentS: 9, receivedS: 1.5 }])).toBeNull()
    expect(clockOffset([{ sentS: 1, serverReceivedS: 5, serverSentS: 4, receivedS: 2 }])).toBeNull()
  })
})

describe('clockAgreement(durationS, before, after)', () => {
  const before = { offsetS: 5, halfWidthS: 0.003, atS: 0 }

  it('propagates two rectangular half widths in proportion to the share of the time between them', () => {
    const agreement = clockAgreement(10, before, { offsetS: 5.001, halfWidthS: 0.004, atS: 20 })!
    // u = ½ · √((0.003² + 0.004²)/3) = 0.005/(2√3)
    expect(agreement.standardUncertaintyS).toBeCloseTo(0.005 / 2 / Math.sqrt(3), 12)
    expect(agreement.strayedS).toBe(0)
  })

  it('sees a clock that stood still, and lets all of it into the uncertainty', () => {
    const agreement = clockAgreement(28, before, { offsetS: 7, halfWidthS: 0.003, atS: 30 })!
    expect(agreement.strayedS).toBeCloseTo(2 - 0.006 - 200e-6 * 30, 9)
    expect(agreement.standardUncertaintyS).toBeGreaterThan(1.1)
  })

  it('takes clocks that drift as crystals do for clocks in order', () => {
    expect(clockAgreement(100, before, { offsetS: 5.005, halfWidthS: 0.003, atS: 100 })!.strayedS).toBe(0)
  })

  it('says nothing where one comparison is missing', () => {
    expect(clockAgreement(10, null, before)).toBeNull()
    expect(clockAgreement(10, before, null)).toBeNull()
    expect(clockAgreement(10, before, before)).toBeNull()
  })
})
