import * as z from 'zod'
import {
  chipThinningFactor,
  feedPerToothMm,
  removalOfKind,
  removalRateMm3PerMin,
  scallopHeight,
  spindlePowerW,
  spindleSpeedRpm,
  tableFeedMmPerMin,
} from '../../planning/cut/index.js'
import {
  CM3_PER_IN3,
  fromMm,
  M_PER_FOOT,
  parseSpecificEnergyWsPerMm3,
  toMm,
  W_PER_HP,
} from '../../units/index.js'
import { parseItem } from '../case-file.js'
import {
  type Comparison,
  type Computed,
  compareQuantities,
  compareStated,
  joinComparisons,
  StatedSchema,
} from '../comparison.js'
import { printedDigits } from '../digits.js'
import { NOTHING_COMPUTED, type Runner } from '../runner.js'

const NumbersByName = z.record(z.string(), z.number())
const CasesSchema = z.object({ cases: z.array(NumbersByName) })
const DataSchema = StatedSchema.and(
  z.object({ data: NumbersByName.optional(), constant: z.string().optional() }),
)

/** Factors between units, by the name that an item gives in `constant`. */
const CONSTANTS: Readonly<Record<string, Computed>> = {
  'W s/mm3 in 1 hp min/in3': {
    function: 'parseSpecificEnergyWsPerMm3',
    value: parseSpecificEnergyWsPerMm3('1hpmin/in3', 'one'),
  },
}

/**
 * The formulas of milling. A case names its inputs and its results with their units; whatever the other numbers of
 * the case give by a formula is a result.
 */
export const runMilling: Runner = (path, item) => {
  if (item.cases !== undefined) {
    const { cases } = parseItem(path, item, CasesSchema)
    return joinComparisons(
      cases.map((numbers, index): Comparison => {
        const results = Object.entries(numbers).filter(
          ([name]) => !INPUT.test(name) || compute(name, numbers) !== null,
        )
        return compareQuantities(
          Object.fromEntries(results),
          (quantity) => compute(quantity, numbers),
          'full',
          `case ${index + 1} `,
        )
      }),
    )
  }
  const stated = DataSchema.safeParse(item)
  if (!stated.success) return { ...NOTHING_COMPUTED, notComputed: ['value'] }
  const { data = {}, constant, ...values } = stated.data
  const { printed, expected_printed, ...full } = values
  const factor = constant === undefined ? null : (CONSTANTS[constant] ?? null)
  return joinComparisons([
    compareStated(full, (quantity) => (quantity === 'factor' && factor) || compute(quantity, data)),
    ...[printed, expected_printed].map((quantities) =>
      compareQuantities(
        quantities ?? {},
        (quantity) => asPrinted(compute(quantity, data), quantities?.[quantity]),
        'full',
        'printed ',
      ),
    ),
  ])
}

/** Names that stand for inputs, some of them for the result of another formula. */
const INPUT =
  /^(?:V_(?:ft|m)_per_min|D_(?:in|mm)|rpm|teeth|per_tooth_(?:in|mm)|ae_over_D|a[pe]_(?:in|mm)|feed_(?:in|mm)_per_min|Q_(?:in3|cm3)_per_min|K|[fr]_mm)$/

/** Shop handbooks cut the last decimal off as often as they round it. */
function asPrinted(computed: Computed | null, printed: unknown): Computed | null {
  if (computed === null || typeof printed !== 'number') return computed
  return { ...computed, requiredDigits: printedDigits(printed) - Math.log10(2) }
}

type Numbers = Readonly<Record<string, number>>

function compute(quantity: string, numbers: Numbers): Computed | null {
  const value = VALUES[quantity]?.(numbers)
  return value === undefined || value.value === undefined || Number.isNaN(value.value)
    ? null
    : { function: value.function, value: value.value }
}

type Value = (numbers: Numbers) => { readonly function: string; readonly value: number | undefined }

const VALUES: Readonly<Record<string, Value>> = {
  rpm: (given) => ({
    function: 'spindleSpeedRpm',
    value: spindleSpeedRpm(metric(given, 'V_m_per_min', 'V_ft_per_min', M_PER_FOOT), lengthMm(given, 'D')),
  }),
  feed_in_per_min: (given) => ({ function: 'tableFeedMmPerMin', value: fromMm(feed(given), 'in') }),
  feed_mm_per_min: (given) => ({ function: 'tableFeedMmPerMin', value: feed(given) }),
  // What goes by in one turn: the feed of a spindle at one turn a minute.
  feed_in_per_rev: (given) => ({
    function: 'tableFeedMmPerMin',
    value: fromMm(tableFeedMmPerMin(1, given.teeth ?? Number.NaN, lengthMm(given, 'per_tooth')), 'in'),
  }),
  factor: (given) => ({
    function: 'chipThinningFactor',
    value: given.ae_over_D === undefined ? undefined : chipThinningFactor(given.ae_over_D, 1),
  }),
  Q_in3_per_min: (given) => ({
    function: 'removalRateMm3PerMin',
    value: removal(given) / 1000 / CM3_PER_IN3,
  }),
  Q_cm3_per_min: (given) => ({ function: 'removalRateMm3PerMin', value: removal(given) / 1000 }),
  P_W: (given) => ({ function: 'spindlePowerW', value: power(given) }),
  // At the motor, where the case names the share of its power that reaches the cut.
  P_kW: (given) => ({
    function: 'spindlePowerW',
    value: power(given) / (given.efficiency ?? 1) / 1000,
  }),
  per_tooth_mm: (given) => ({
    function: 'feedPerToothMm',
    value: feedPerToothMm(
      given.feed_mm_per_min ?? Number.NaN,
      given.rpm ?? Number.NaN,
      given.teeth ?? Number.NaN,
    ),
  }),
  P_hp: (given) => ({ function: 'spindlePowerW', value: power(given) / W_PER_HP }),
  approx_um: (given) => ({
    function: 'scallopHeight',
    value: 1000 * (marks(given)?.approximateMm ?? Number.NaN),
  }),
  exact_um: (given) => ({ function: 'scallopHeight', value: 1000 * (marks(given)?.exactMm ?? Number.NaN) }),
}

function feed(given: Numbers): number {
  return tableFeedMmPerMin(given.rpm ?? Number.NaN, given.teeth ?? Number.NaN, lengthMm(given, 'per_tooth'))
}

function removal(given: Numbers): number {
  if (given.f_mm !== undefined && given.ap_mm !== undefined) return turningRemoval(given, given.f_mm)
  const feedMmPerMin = metric(given, 'feed_mm_per_min', 'feed_in_per_min', toMm(1, 'in'))
  return removalRateMm3PerMin(lengthMm(given, 'ap'), lengthMm(given, 'ae'), feedMmPerMin)
}

/** Turning tells speed and feed a turn; whatever the diameter, the volume is the same. */
function turningRemoval(given: Numbers, feedPerTurnMm: number): number {
  const rpm = spindleSpeedRpm(given.V_m_per_min ?? Number.NaN, 1)
  const cut = { diameterMm: 1, widthMm: null, depthMm: given.ap_mm ?? Number.NaN }
  return removalOfKind('turning', cut, rpm * feedPerTurnMm) ?? Number.NaN
}

function power(given: Numbers): number {
  const cm3PerMin = given.Q_cm3_per_min
  return spindlePowerW(given.K ?? Number.NaN, cm3PerMin === undefined ? removal(given) : 1000 * cm3PerMin)
}

function marks(given: Numbers) {
  return scallopHeight(given.f_mm ?? Number.NaN, given.r_mm ?? Number.NaN)
}

function lengthMm(given: Numbers, name: string): number {
  return metric(given, `${name}_mm`, `${name}_in`, toMm(1, 'in'))
}

function metric(given: Numbers, metricName: string, otherName: string, factor: number): number {
  return given[metricName] ?? (given[otherName] ?? Number.NaN) * factor
}
