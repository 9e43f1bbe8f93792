/** Why a readout's clock cannot be used as it is. */
export interface DeviceClockFault {
  /** `jumped`: it was set anew midway; `stopped`: it stood still; `off-rate`: it is no clock in the stated unit. */
  readonly kind: 'jumped' | 'stopped' | 'off-rate'
  /** Host time of the place, s. */
  readonly atS: number
}

/** Code and sentence of a fault. */
export function clockFaultWarning({ kind, atS }: DeviceClockFault): { code: string; message: string } {
  const did = { jumped: 'jumped', stopped: 'stood still', 'off-rate': 'ran at an impossible rate' }[kind]
  return {
    code: `device-clock-${kind}`,
    message: `The readout's own clock ${did} at ${atS.toFixed(1)} s, so the arrival times are used instead.`,
  }
}

/** A stretch of samples, `from` inclusive, `to` exclusive. */
interface SoundStretch {
  readonly from: number
  readonly to: number
}

/**
 * Step of host against device time, s, beyond which no delay explains it. Judgement: more than the 0.4 s for which
 * a busy computer holds lines back (`LONGEST_LATE_S`).
 */
const JUMP_S = 0.5
/**
 * Time, s, for which a device time stands still while lines come when it has stopped. Judgement: a clock that
 * shows whole seconds stands for one.
 */
const STOP_S = 1
/**
 * Part of a gap by which the clocks may differ for their rates alone. Judgement: half of `RATE_TOLERANCE`, once
 * the clock is known to be one.
 */
const RATE_ALLOWANCE = 0.05
/**
 * Samples on both sides of a step that tell a jump from one late line. Judgement: a median of five outvotes two
 * late lines.
 */
const WITNESSES = 5

/** Looks for jumps and stops of a device clock, and for the longest stretch without one. */
export function findClockFaults(
  hostTimeS: Float64Array,
  deviceTimeS: Float64Array,
): { first: DeviceClockFault | null; longestSound: SoundStretch } {
  const stops = findStops(hostTimeS, deviceTimeS)
  const jumps = findJumps(hostTimeS, deviceTimeS).filter(
    (at) => !stops.some((stop) => at >= stop.from && at <= stop.to),
  )
  const faults = [
    ...stops.map((stop) => ({ kind: 'stopped' as const, ...stop })),
    ...jumps.map((at) => ({ kind: 'jumped' as const, from: at, to: at })),
  ].sort((a, b) => a.from - b.from)
  let longestSound: SoundStretch = { from: 0, to: 0 }
  let from = 0
  for (const fault of [...faults, { from: hostTimeS.length, to: hostTimeS.length }]) {
    if (fault.from - from > longestSound.to - longestSound.from) longestSound = { from, to: fault.from }
    from = Math.max(from, fault.to)
  }
  const [first] = faults
  return { first: first ? { kind: first.kind, atS: hostTimeS[first.from]! } : null, longestSound }
}

function findStops(hostTimeS: Float64Array, deviceTimeS: Float64Array): SoundStretch[] {
  const stops: SoundStretch[] = []
  for (let from = 0, to = 1; from < hostTimeS.length; from = to, to = from + 1) {
    while (to < hostTimeS.length && deviceTimeS[to] === deviceTimeS[from]) to += 1
    if (to - from >= 3 && hostTimeS[to - 1]! - hostTimeS[from]! > STOP_S) stops.push({ from, to })
  }
  return stops
}

/** Indices of the first sample after each lasting step between the clocks. */
function findJumps(hostTimeS: Float64Array, deviceTimeS: Float64Array): number[] {
  const offset = (i: number) => hostTimeS[i]! - deviceTimeS[i]!
  const jumps: number[] = []
  for (let i = 1; i < hostTimeS.length; i += 1) {
    const allowedS = JUMP_S + RATE_ALLOWANCE * (hostTimeS[i]! - hostTimeS[i - 1]!)
    if (Math.abs(offset(i) - offset(i - 1)) <= allowedS) continue
    const start = Math.max(jumps.at(-1) ?? 0, i - WITNESSES)
    const before = middleOf(start, i, offset)
    const after = middleOf(i, Math.min(i + WITNESSES, hostTimeS.length), offset)
    if (Math.abs(after - before) > allowedS) jumps.push(i)
  }
  return jumps
}

function middleOf(from: number, to: number, value: (i: number) => number): number {
  const sorted = Array.from({ length: to - from }, (_, i) => value(from + i)).sort((a, b) => a - b)
  return sorted[Math.floor((sorted.length - 1) / 2)]!
}
