import type { CutLimit } from '../../planning/cut/index.js'
import type { MachineUnit } from '../../units/index.js'
import { bothChipLoads, bothForces, bothLengths, bothPowers, bothSpeeds, formatRpm } from '../both-systems.js'

/** A limit that a cut goes beyond in words: what is wrong, and what to change. */
export function cutLimitText(limit: CutLimit, unit: MachineUnit): { message: string; change: string } {
  switch (limit.limit) {
    case 'spindle-too-fast':
      return {
        message: `Even the lowest spindle speed, ${formatRpm(limit.lowestRpm)}, is above the wanted ${formatRpm(limit.wantedRpm)}${limit.stops ? ' by more than 10 %: the cutting edge would run too fast and burn' : ', by less than 10 %'}.`,
        change:
          'Take a smaller cutter, one of a material that stands more speed, or a lower range of the spindle.',
      }
    case 'too-deep':
      return {
        message: `A depth of ${bothLengths(limit.depthMm, unit)} is ${limit.stops ? 'too much' : 'a lot'} for this ${tool(limit.kind)}; up to ${bothLengths(limit.mostMm, unit)} is usual at this width.`,
        change:
          limit.kind === 'drill'
            ? 'Draw the drill out often to clear the chips, at half the speed.'
            : 'Take it in several passes of less depth.',
      }
    case 'bends':
      return {
        message: `The cutter would bend by about ${bothLengths(limit.tipMm, unit, 4)} at its tip, ${limit.told ? 'with the stick-out given' : `if it sticks out ${bothLengths(limit.stickOutMm, unit)}`}${limit.stops ? `; more than ${bothLengths(limit.mostMm, unit, 4)} may break it` : ''}.`,
        change: 'Hold it shorter, take less depth or width, or take a thicker cutter.',
      }
    case 'power':
      return limit.motorPowerW === null
        ? {
            message: `This cut asks for about ${bothPowers(limit.atMotorW, unit)} of the motor, and how much yours has is not known${limit.stops ? `; few manual mills have more than ${bothPowers(limit.mostW, unit)}` : ''}.`,
            change: "Enter the motor's power, and take less depth or width.",
          }
        : {
            message: `This cut asks for about ${Math.round((100 * limit.atMotorW) / limit.motorPowerW)} % of the motor.`,
            change: 'Take less depth or width.',
          }
    case 'feed-drive': {
      const force = `The cut pushes back along the feed with about ${bothForces(limit.feedForceN, unit)}`
      const lighter =
        limit.fittingDepthMm === null
          ? 'Take a smaller feed.'
          : `Take no more than about ${bothLengths(limit.fittingDepthMm, unit)} of depth, or less width.`
      if (limit.pushN === null) {
        return {
          message: `${force}, and how hard your feed drive pushes is not known; a small one slows down or stalls at that.`,
          change: `${lighter} Or measure the push of the drive with a spring scale and enter it for the axis.`,
        }
      }
      const push = bothForces(limit.pushN, unit)
      return limit.stops
        ? {
            message: `${force}, and your feed drive pushes ${push}: it would slow down or stall.`,
            change: lighter,
          }
        : {
            message: `${force}, more than half of the ${push} that your feed drive pushes; single teeth push up to twice as hard.`,
            change: lighter,
          }
    }
    case 'speed': {
      const what = limit.ofMaterial
        ? 'the fastest that any source here gives for this cutter in this material'
        : 'the fastest that any source here gives for such a cutter in any material'
      return {
        message: `A cutting speed of ${bothSpeeds(limit.speedMPerMin, unit)} is ${limit.stops ? 'far ' : ''}above ${bothSpeeds(limit.fastestMPerMin, unit)}, ${what}.`,
        change: 'Check the number and its unit, or leave your own speed out to get one that fits.',
      }
    }
    case 'chip-load':
      return {
        message: `A chip load of up to ${bothChipLoads(limit.chipLoadMm, unit)} is more than twice what this cutter stands, ${bothChipLoads(limit.highMm, unit)}.`,
        change: 'Feed slower, or leave your own chip load out to get one that fits.',
      }
    case 'narrow':
      return {
        message: `The cut is narrower than a twentieth of the cutter, ${bothLengths(limit.trustedMm, unit)}; the runout of spindle and cutter then decides how thick the chip is, so the feed is raised no further than for that width.`,
        change: 'Take a wider cut, or call it a finishing pass.',
      }
  }
}

function tool(kind: string): string {
  return kind === 'turning' || kind === 'boring' ? `kind of cut (${kind})` : kind
}
