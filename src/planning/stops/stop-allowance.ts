import * as z from 'zod'
import file from '../../../calibration/limit-stop.json' with { type: 'json' }

const part = <U extends string>(unit: U) =>
  z.strictObject({
    value: z.number().positive(),
    unit: z.literal(unit),
    why: z.string().min(1),
    source: z.string().min(1),
  })

const { tripTime, setting, source } = z
  .strictObject({ tripTime: part('s'), setting: part('mm'), source: z.string().min(1) })
  .parse(file)

/** What a limit stop needs beyond any coast, and where that comes from. */
export interface StopAllowance {
  readonly allowanceMm: number
  /** From touching the stop until the drive lets go, s. */
  readonly tripTimeS: number
  /** How exactly a stop is set and met again, mm. */
  readonly settingMm: number
  /** One sentence. */
  readonly source: string
}

/**
 * What a limit stop needs even for a table that stops dead when its drive lets go: the travel until it does let go, and
 * how exactly the stop is set. Speed × time of response + an addition for position is the form of ISO 13855 (from
 * memory); the two constants stand with their reasons in `calibration/limit-stop.json`.
 *
 * On an axis that turns the same number is degrees: at every rim farther than 57 mm from the centre that is more than
 * the millimetre (judgement).
 *
 * @param fastestMmPerMin feed of the fastest setting that the stop is for
 */
export function stopAllowance(fastestMmPerMin: number, unit: 'mm' | 'deg' = 'mm'): StopAllowance {
  const allowanceMm = setting.value + (tripTime.value * fastestMmPerMin) / 60
  return {
    allowanceMm,
    tripTimeS: tripTime.value,
    settingMm: setting.value,
    source: `${source}; ${tripTime.value} s and ${setting.value} ${unit}: ${setting.source}`,
  }
}
