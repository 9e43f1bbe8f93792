import type { WantedCut } from './cut-plan.js'
import { CUTTER_GEOMETRY, type CutterKind } from './data/cutter-kinds.js'

/** What a cut is asked for with; each face has its own name for it. */
export type CutField =
  | 'diameter'
  | 'teeth'
  | 'material'
  | 'cutter'
  | 'cutterMaterial'
  | 'speed'
  | 'chipLoad'
  | 'width'
  | 'depth'
  | 'stickOut'
  | 'cornerRadius'
  | 'specificEnergy'
  | 'motor'
  | 'push'
  | 'rpm'
  | 'feed'
  | 'finish'

/** Why a cut cannot be worked out at all; the faces say it in their own names of the fields. */
export type CutProblem =
  | { readonly problem: 'not-positive'; readonly field: CutField }
  | { readonly problem: 'bad-teeth'; readonly teeth: number }
  | { readonly problem: 'no-teeth'; readonly kind: CutterKind }
  | { readonly problem: 'wider-than-cutter' }
  | { readonly problem: 'held-inside-the-cut' }
  | {
      readonly problem: 'unlikely-size'
      readonly kind: CutterKind
      readonly diameterMm: number
      /** What a manual machine holds, mm. */
      readonly rangeMm: readonly [number, number]
      /** The size with its number read in the other unit would be likely. */
      readonly otherUnitFits: boolean
    }
  | { readonly problem: 'unknown-cutter'; readonly name: string }
  | { readonly problem: 'unknown-material'; readonly name: string; readonly known: readonly string[] }
  | { readonly problem: 'no-material'; readonly lacking: 'cutting speed' | 'chip load' }
  | { readonly problem: 'no-cutter-material'; readonly material: string }
  | {
      readonly problem: 'no-row'
      readonly material: string
      readonly kind: CutterKind
      readonly cutterMaterial: string
      readonly lacking: 'cutting speed' | 'chip load'
    }

type Sizes = Pick<
  WantedCut,
  | 'kind'
  | 'diameterMm'
  | 'teeth'
  | 'widthMm'
  | 'depthMm'
  | 'stickOutMm'
  | 'cuttingSpeedMPerMin'
  | 'chipLoadMm'
>

/** The first thing about the sizes of a cut that no cut can have; null where there is none. */
export function cutProblem(cut: Sizes, unit: 'in' | 'mm'): CutProblem | null {
  const { kind, diameterMm, widthMm, depthMm, stickOutMm } = cut
  const sizes: [CutField, number | null][] = [
    ['diameter', diameterMm],
    ['speed', cut.cuttingSpeedMPerMin],
    ['chipLoad', cut.chipLoadMm],
    ['depth', depthMm],
    ['width', widthMm],
    ['stickOut', stickOutMm],
  ]
  for (const [field, size] of sizes) {
    if (size !== null && !(Number.isFinite(size) && size > 0)) return { problem: 'not-positive', field }
  }
  if (!(Number.isInteger(cut.teeth) && cut.teeth > 0)) return { problem: 'bad-teeth', teeth: cut.teeth }
  const unlikely = unlikelySize(kind, diameterMm, unit)
  if (unlikely !== null) return unlikely
  // A width that went through a unit and back is still the same width.
  if (widthMm !== null && CUTTER_GEOMETRY[kind].widthAcross && widthMm > diameterMm * (1 + 1e-9)) {
    return { problem: 'wider-than-cutter' }
  }
  const cutsBeside = kind === 'end mill' || kind === 'drill'
  if (cutsBeside && stickOutMm !== null && depthMm !== null && stickOutMm < depthMm) {
    return { problem: 'held-inside-the-cut' }
  }
  return null
}

function unlikelySize(kind: CutterKind, diameterMm: number, unit: 'in' | 'mm'): CutProblem | null {
  const [low, high] = CUTTER_GEOMETRY[kind].diameterMm
  if (diameterMm >= low && diameterMm <= high) return null
  const otherMm = unit === 'in' ? diameterMm / 25.4 : diameterMm * 25.4
  return {
    problem: 'unlikely-size',
    kind,
    diameterMm,
    rangeMm: [low, high],
    otherUnitFits: otherMm >= low && otherMm <= high,
  }
}
