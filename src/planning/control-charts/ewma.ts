/** A value that is charted. */
interface ChartedValue {
  readonly value: number
  /** Standard uncertainty of this value alone. */
  readonly ownUncertainty: number
  /** Standard uncertainty that all values of the chart share: that of what they are held against. */
  readonly commonUncertainty: number
}

/** A point of the chart. */
interface EwmaPoint {
  readonly ewma: number
  readonly lower: number
  readonly upper: number
  readonly beyond: boolean
}

interface EwmaOptions {
  /** What the newest value counts for, 0…1; 0.2 to 0.3 is usual. */
  readonly weight: number
  /** Limits in standard deviations of the average. */
  readonly limit: number
  /** The value aimed at, where the average begins. */
  readonly target: number
}

/**
 * Exponentially weighted moving average with its control limits, which shows a slow drift before a single value does
 * (S. W. Roberts, Technometrics 1 (1959) 239-250; NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4):
 * ewma = weight·value + (1 - weight)·ewma before, limits target ± limit·s_ewma.
 *
 * The handbook's s_ewma² = s²·weight/(2 - weight) is where values alike in uncertainty lead to after many points; here it
 * is carried along from point to point, each with its own uncertainty, and what all share does not average out.
 *
 * @param values in the order of time
 */
export function ewmaChart(
  values: readonly ChartedValue[],
  { weight, limit, target }: EwmaOptions,
): EwmaPoint[] {
  let ewma = target
  let ownVariance = 0
  let common = 0
  return values.map(({ value, ownUncertainty, commonUncertainty }) => {
    ewma = weight * value + (1 - weight) * ewma
    ownVariance = (weight * ownUncertainty) ** 2 + (1 - weight) ** 2 * ownVariance
    common = weight * commonUncertainty + (1 - weight) * common
    const half = limit * Math.hypot(Math.sqrt(ownVariance), common)
    return { ewma, lower: target - half, upper: target + half, beyond: Math.abs(ewma - target) > half }
  })
}
