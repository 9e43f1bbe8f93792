/** The kinds of cutter that a cut is worked out for. */
export const CUTTER_KINDS = [
  'end mill',
  'face mill',
  'fly cutter',
  'side mill',
  'slitting saw',
  'drill',
  'boring',
  'turning',
] as const

export type CutterKind = (typeof CUTTER_KINDS)[number]

/** Whether a cut takes as much as the machine carries, or leaves the surface that stays. */
export type CutPass = 'roughing' | 'finishing'

/** What a shop calls the same thing. */
const ALSO: Readonly<Record<string, CutterKind>> = {
  endmill: 'end mill',
  'slot drill': 'end mill',
  'slot mill': 'end mill',
  'shell mill': 'face mill',
  'shell end mill': 'face mill',
  facemill: 'face mill',
  flycutter: 'fly cutter',
  'side and face': 'side mill',
  'side and face cutter': 'side mill',
  'side and face mill': 'side mill',
  'side milling cutter': 'side mill',
  saw: 'slitting saw',
  'boring bar': 'boring',
  'boring head': 'boring',
  'boring tool': 'boring',
  'lathe tool': 'turning',
  'turning tool': 'turning',
}

/** The kind of this name, capitals, hyphens and spaces aside; null where there is none. */
export function cutterKindNamed(name: string): CutterKind | null {
  const plain = name
    .toLowerCase()
    .replace(/[\s_-]+/g, ' ')
    .trim()
  return CUTTER_KINDS.find((kind) => kind === plain) ?? ALSO[plain] ?? null
}

/** What of a kind of cutter the formulas need to know. */
interface CutterGeometry {
  /** Its feed is told by the revolution, not by the tooth. */
  readonly perRevolution: boolean
  /** Smallest and largest diameter that a manual machine holds, mm (common practice, no source). */
  readonly diameterMm: readonly [number, number]
  /** The width of cut lies across the diameter, so that a narrow cut thins the chip. */
  readonly widthAcross: boolean
}

const ACROSS = { perRevolution: false, widthAcross: true }
const DISC = { perRevolution: false, widthAcross: false }
const TURN = { perRevolution: true, widthAcross: false }

/** Of each kind; the diameter of turning is the work's, that of boring the hole's. */
export const CUTTER_GEOMETRY: Readonly<Record<CutterKind, CutterGeometry>> = {
  'end mill': { ...ACROSS, diameterMm: [0.5, 80] },
  'face mill': { ...ACROSS, diameterMm: [15, 200] },
  'fly cutter': { ...ACROSS, diameterMm: [15, 250] },
  'side mill': { ...DISC, diameterMm: [20, 250] },
  'slitting saw': { ...DISC, diameterMm: [10, 315] },
  drill: { ...TURN, diameterMm: [0.3, 55] },
  boring: { ...TURN, diameterMm: [3, 300] },
  turning: { ...TURN, diameterMm: [0.5, 600] },
}
