/**
 * Table feed of a milling cutter, f = n z f_z: rpm × teeth × feed per tooth (Mechanical Engineer's Data Handbook,
 * p. 187).
 *
 * @returns mm/min
 * @example tableFeedMmPerMin(600, 4, 0.0635) // 152.4
 */
export function tableFeedMmPerMin(rpm: number, teeth: number, feedPerToothMm: number): number {
  return rpm * teeth * feedPerToothMm
}

/** The table feed turned round: what each tooth moves into the work, mm. */
export function feedPerToothMm(feedMmPerMin: number, rpm: number, teeth: number): number {
  return feedMmPerMin / (rpm * teeth)
}
