/**
 * Films of a seven-segment display, drawn in memory: what a camera makes of a readout while a table travels. It knows
 * nothing of the reader that it tests.
 */

/** How the display looks to the camera and how it changes. Lengths are shares of the height of a digit. */
export interface DisplayLook {
  readonly digits: number
  readonly decimals: number
  /** A place for a minus in front of the digits. */
  readonly sign: boolean
  readonly lit: boolean
  /** Grey of ground and segments, 0 to 255. */
  readonly ground: number
  readonly segment: number
  /** How much of the contrast a segment that is off still shows. */
  readonly ghost: number
  readonly digitPx: number
  readonly widthShare: number
  readonly pitchShare: number
  readonly thickShare: number
  /** Lean of the digits and turn of the camera, degrees. */
  readonly slantDeg: number
  readonly tiltDeg: number
  /** Standard deviations of blur, share, and of noise, grey. */
  readonly blurShare: number
  readonly noise: number
  /** Largest brightness of a spot of light that is reflected, grey; it drifts a little. */
  readonly glare: number
  /** Shaking of the camera, standard deviation, px. */
  readonly shakePx: number
  /** How far a camera held by hand wanders to each side, share of the height of a digit; left out where it stands. */
  readonly hand?: number
  readonly blankZeros: boolean
  /** The forms of 6, 9 and 7 that have one bar fewer or more. */
  readonly plainSixNine: boolean
  readonly hookedSeven: boolean
  /** What a frame shows that was caught half way through a change. */
  readonly change: 'blend' | 'tear' | 'digit by digit' | 'fade' | 'slow to go'
  readonly framesPerS: number
  /** So many times as slow the second half of the film was taken, as phones do in the dark; left out for an even rate. */
  readonly slowsDown?: number
  readonly refreshHz: number
  /** How long a frame takes in light, share of the time from frame to frame. */
  readonly exposure: number
}

/** Where the table was: rest, a ramp, an even speed, a ramp, rest; mm and s. */
export interface FilmedTravel {
  readonly fromMm: number
  readonly speedMmPerS: number
  readonly restS: number
  readonly rampS: number
  readonly steadyS: number
}

export interface FilmedFrame {
  readonly timeS: number
  readonly width: number
  readonly height: number
  readonly pixels: Uint8Array
  /** What the display showed while the frame was taken, in units of its last digit: one number, or an old and a new one. */
  readonly shown: readonly number[]
}

export interface FilmedDisplay {
  readonly width: number
  readonly height: number
  /** Corners of a frame drawn closely around the digits: top left, top right, bottom right, bottom left, px. */
  readonly corners: readonly (readonly [number, number])[]
  readonly frames: number
  readonly frame: (index: number) => FilmedFrame
}

/** Which bars of a figure are lit: top, right above, right below, bottom, left below, left above, middle. */
const FIGURES = ['1111110', '0110000', '1101101', '1111001', '0110011', '1011011', '1011111', '1110000']
FIGURES.push('1111111', '1111011')
const BLANK = '0000000'
const MINUS = '0000001'

/** Both ends of each bar, in half widths and half heights of a digit. */
const BARS = [
  [-1, -1, 1, -1],
  [1, -1, 1, 0],
  [1, 0, 1, 1],
  [-1, 1, 1, 1],
  [-1, 0, -1, 1],
  [-1, -1, -1, 0],
  [-1, 0, 1, 0],
] as const

/** A drawn film; the same look, travel and seed give the same frames, in any order. */
export function filmedDisplay(look: DisplayLook, travel: FilmedTravel, seed: number): FilmedDisplay {
  const random = seededRandom(seed)
  const cells = look.digits + (look.sign ? 1 : 0)
  const half = look.digitPx / 2
  const halfWide = look.digitPx * look.widthShare * 0.5
  const pitch = look.digitPx * look.pitchShare
  const thick = look.digitPx * look.thickShare
  const slant = Math.tan((look.slantDeg * Math.PI) / 180)
  const tilt = (look.tiltDeg * Math.PI) / 180
  const rowWide = pitch * (cells - 1) + 2 * halfWide + thick
  const hand = look.hand === undefined ? null : heldByHand(look.hand * look.digitPx, seed)
  const margin = look.digitPx * (hand === null ? 0.45 : 0.9)
  const width = Math.ceil(rowWide * Math.cos(tilt) + look.digitPx * Math.abs(Math.sin(tilt)) + 2 * margin)
  const height = Math.ceil(look.digitPx + rowWide * Math.abs(Math.sin(tilt)) + 2 * margin)
  const [midX, midY] = [width / 2 + random() - 0.5, height / 2 + random() - 0.5]
  const turn = (x: number, y: number): [number, number] => [
    midX + x * Math.cos(tilt) - y * Math.sin(tilt),
    midY + x * Math.sin(tilt) + y * Math.cos(tilt),
  ]
  /** Of the display's own coordinates at a pixel, from the middle of the row. */
  const turnBack = (px: number, py: number): [number, number] => {
    const [dx, dy] = [px - midX, py - midY]
    const y = -dx * Math.sin(tilt) + dy * Math.cos(tilt)
    return [dx * Math.cos(tilt) + dy * Math.sin(tilt) + slant * y, y]
  }

  // How much of each bar covers each pixel, blurred: a frame is then a sum.
  const blurPx = Math.max(0.4, look.blurShare * look.digitPx)
  const covers: Sparse[][] = []
  for (let cell = 0; cell < cells; cell += 1) {
    const centre = (cell - (cells - 1) / 2) * pitch
    covers.push(
      BARS.map(([x1, y1, x2, y2]) => {
        const gap = thick * 0.6
        const [ax, ay, bx, by] = shortened(
          [centre + x1 * halfWide, y1 * half, centre + x2 * halfWide, y2 * half],
          gap,
        )
        const map = new Float32Array(width * height)
        for (let py = 0; py < height; py += 1) {
          for (let px = 0; px < width; px += 1) {
            const [x, y] = turnBack(px + 0.5, py + 0.5)
            const off = distanceToLine(x, y, ax, ay, bx, by) - thick / 2
            if (off < 1) map[py * width + px] = off < 0 ? Math.min(1, 0.5 - off) : Math.max(0, 0.5 - off)
          }
        }
        return sparse(blurred(map, width, height, blurPx))
      }),
    )
  }
  const dots = new Float32Array(width * height)
  if (look.decimals > 0) {
    const cell = cells - 1 - look.decimals
    const at = (cell - (cells - 1) / 2) * pitch + pitch / 2
    for (let py = 0; py < height; py += 1)
      for (let px = 0; px < width; px += 1) {
        const [x, y] = turnBack(px + 0.5, py + 0.5)
        if (Math.hypot(x - at, y - half) < thick * 0.6) dots[py * width + px] = 1
      }
  }
  const dot = sparse(blurred(dots, width, height, blurPx))
  const glareAt = [random() * width, random() * height] as const
  const glareWide = look.digitPx * (0.5 + 2 * random())
  const shift = look.refreshHz * random()
  const lagS = 0.02 + 0.05 * random()

  const tickBefore = (timeS: number): number => Math.floor(timeS * look.refreshHz + shift)
  const valueAt = (tick: number): number => {
    const at = positionMm(travel, (tick - shift) / look.refreshHz - lagS)
    return Math.round(at * 10 ** look.decimals)
  }
  const totalS = 2 * travel.restS + 2 * travel.rampS + travel.steadyS
  const slower = look.slowsDown ?? 1
  const evenFrames = Math.floor((totalS * look.framesPerS) / (slower === 1 ? 1 : 2))
  const frameTimeS = (index: number): number =>
    (index + Math.max(0, index - evenFrames) * (slower - 1)) / look.framesPerS
  return {
    width,
    height,
    corners: [
      [-1, -1],
      [1, -1],
      [1, 1],
      [-1, 1],
    ].map(([sx, sy]) => turn((sx! * (rowWide + 0.25 * look.digitPx)) / 2, (sy! * look.digitPx * 1.3) / 2)),
    frames: slower === 1 ? evenFrames : evenFrames + Math.floor(evenFrames / slower),
    frame: (index) => {
      const own = seededRandom(seed * 7919 + index)
      const timeS = frameTimeS(index)
      const endS = timeS + look.exposure / look.framesPerS
      const [first, last] = [tickBefore(timeS), tickBefore(endS)]
      const now = valueAt(last)
      const before = valueAt(last - 1)
      const changesS = (last - shift) / look.refreshHz
      // Share of the light that came after the change.
      const fresh = first === last ? 1 : (endS - changesS) / (endS - timeS)
      const picture = new Float32Array(width * height).fill(look.ground)
      const contrast = look.segment - look.ground
      const [oldBars, newBars] = [before, now].map((value) => barsOf(value, look))
      const boundary = fresh * height
      const sinceS = Math.max(0, endS - changesS)
      // Liquid crystal comes and goes alike, or comes at once and goes slowly.
      const [came, left] =
        look.change === 'fade'
          ? [Math.exp(-sinceS / 0.03), Math.exp(-sinceS / 0.03)]
          : [Math.exp(-sinceS / 0.008), Math.exp(-sinceS / 0.05)]
      let mixed = first !== last && before !== now
      covers.forEach((bars, cell) => {
        bars.forEach((cover, bar) => {
          const [was, is] = [oldBars, newBars].map((lit) => (lit![cell]![bar] === '1' ? 1 : look.ghost))
          let [above, below] = [is!, is!]
          if (look.change === 'fade' || look.change === 'slow to go') {
            above = below = is! + (was! - is!) * (was! > is! ? left : came)
          } else if (mixed) {
            if (look.change === 'blend') above = below = fresh * is! + (1 - fresh) * was!
            else if (look.change === 'tear') below = was!
            else above = below = cell >= cells * (1 - fresh) ? is! : was!
          }
          const { at, share } = cover
          for (let i = 0; i < at.length; i += 1) {
            const level = at[i]! < boundary * width ? above : below
            picture[at[i]!]! += contrast * share[i]! * level
          }
        })
      })
      if (/fade|slow/.test(look.change) && left > 0.02 && before !== now) mixed = true
      for (let i = 0; i < dot.at.length; i += 1) picture[dot.at[i]!]! += contrast * dot.share[i]!
      const stood =
        look.shakePx === 0
          ? picture
          : shifted(picture, width, height, look.shakePx * normal(own), look.shakePx * normal(own))
      const shaken =
        hand === null
          ? stood
          : midway(wandered(stood, width, height, hand(timeS)), wandered(stood, width, height, hand(endS)))
      const drift = 0.2 * look.digitPx * Math.sin(timeS)
      const across = bell(width, glareAt[0] + drift, glareWide)
      const down = bell(height, glareAt[1], glareWide)
      const start = Math.floor(own() * NOISE.length)
      const pixels = new Uint8Array(width * height)
      for (let i = 0; i < pixels.length; i += 1) {
        const glare = look.glare === 0 ? 0 : look.glare * across[i % width]! * down[Math.floor(i / width)]!
        const grey = shaken[i]! + glare + look.noise * NOISE[(start + i) % NOISE.length]!
        pixels[i] = Math.max(0, Math.min(255, Math.round(grey)))
      }
      return { timeS, width, height, pixels, shown: mixed ? [before, now] : [now] }
    },
  }
}

/** Where the table is at a time. */
function positionMm(travel: FilmedTravel, timeS: number): number {
  const { fromMm, speedMmPerS, restS, rampS, steadyS } = travel
  const t = timeS - restS
  const upTo = (s: number): number => (speedMmPerS * s * s) / (2 * rampS)
  if (t <= 0) return fromMm
  if (t <= rampS) return fromMm + upTo(t)
  if (t <= rampS + steadyS) return fromMm + speedMmPerS * (t - rampS / 2)
  const left = Math.max(0, 2 * rampS + steadyS - t)
  return fromMm + speedMmPerS * (steadyS + rampS) - upTo(left)
}

interface Sparse {
  readonly at: Int32Array
  readonly share: Float32Array
}

function sparse(map: Float32Array): Sparse {
  const at: number[] = []
  for (let i = 0; i < map.length; i += 1) if (map[i]! > 0.003) at.push(i)
  return { at: Int32Array.from(at), share: Float32Array.from(at, (i) => map[i]!) }
}

function barsOf(value: number, look: DisplayLook): string[] {
  const text = String(Math.abs(value)).padStart(look.digits, '0').slice(-look.digits)
  const lead = look.blankZeros ? text.search(/[1-9]|$/) : 0
  const shown = Math.min(lead, look.digits - 1 - look.decimals)
  const bars = [...text].map((figure, index) => (index < shown ? BLANK : figureOf(Number(figure), look)))
  return look.sign ? [value < 0 ? MINUS : BLANK, ...bars] : bars
}

function figureOf(figure: number, look: DisplayLook): string {
  if (figure === 6 && look.plainSixNine) return '0011111'
  if (figure === 9 && look.plainSixNine) return '1110011'
  if (figure === 7 && look.hookedSeven) return '1110010'
  return FIGURES[figure]!
}

function shortened(
  [ax, ay, bx, by]: [number, number, number, number],
  by_: number,
): [number, number, number, number] {
  const length = Math.hypot(bx - ax, by - ay)
  const [ux, uy] = [((bx - ax) / length) * by_, ((by - ay) / length) * by_]
  return [ax + ux, ay + uy, bx - ux, by - uy]
}

function distanceToLine(x: number, y: number, ax: number, ay: number, bx: number, by: number): number {
  const [dx, dy] = [bx - ax, by - ay]
  const t = Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy)))
  return Math.hypot(x - ax - t * dx, y - ay - t * dy)
}

function blurred(map: Float32Array, width: number, height: number, sigma: number): Float32Array {
  const reach = Math.ceil(3 * sigma)
  const kernel = Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-((i - reach) ** 2) / (2 * sigma * sigma)),
  )
  const sum = kernel.reduce((a, b) => a + b, 0)
  const pass = (
    from: Float32Array,
    along: number,
    across: number,
    stride: number,
    step: number,
  ): Float32Array => {
    const to = new Float32Array(from.length)
    for (let line = 0; line < across; line += 1)
      for (let i = 0; i < along; i += 1) {
        let value = 0
        for (let k = -reach; k <= reach; k += 1) {
          const at = i + k
          if (at >= 0 && at < along) value += from[line * stride + at * step]! * kernel[k + reach]!
        }
        to[line * stride + i * step] = value / sum
      }
    return to
  }
  return pass(pass(map, width, height, width, 1), height, width, 1, width)
}

function shifted(map: Float32Array, width: number, height: number, dx: number, dy: number): Float32Array {
  const to = new Float32Array(map.length)
  for (let y = 0; y < height; y += 1)
    for (let x = 0; x < width; x += 1) {
      const sx = Math.max(0, Math.min(width - 1.001, x + dx))
      const sy = Math.max(0, Math.min(height - 1.001, y + dy))
      const [ix, iy] = [Math.floor(sx), Math.floor(sy)]
      const [fx, fy] = [sx - ix, sy - iy]
      const at = iy * width + ix
      const below = iy + 1 < height ? at + width : at
      const right = ix + 1 < width ? 1 : 0
      to[y * width + x] =
        (map[at]! * (1 - fx) + map[at + right]! * fx) * (1 - fy) +
        (map[below]! * (1 - fx) + map[below + right]! * fx) * fy
    }
  return to
}

/** Where a hand holds the camera: px to the right and down, turned, rad, and nearer, share. */
interface Held {
  readonly right: number
  readonly down: number
  readonly turn: number
  readonly nearer: number
}

/**
 * A hand that wanders by so many px, slowly, and trembles by a fifteenth of that eight to ten times a second (physiological
 * tremor, common practice, no source); it turns by up to 1.5° and comes nearer by up to 2 % where it wanders most.
 */
function heldByHand(wandersPx: number, seed: number): (timeS: number) => Held {
  const random = seededRandom(seed * 53 + 17)
  const wave = (lowHz: number, highHz: number, amplitude: number): ((timeS: number) => number) => {
    const [hz, phase] = [lowHz + (highHz - lowHz) * random(), 2 * Math.PI * random()]
    return (timeS) => amplitude * (Math.sin(2 * Math.PI * hz * timeS + phase) - Math.sin(phase))
  }
  const way = () => [wave(0.05, 0.2, 0.35), wave(0.2, 0.6, 0.15), wave(8, 10, 1 / 15)] as const
  const [right, down, turn, nearer] = [way(), way(), way(), way()]
  const at = (waves: ReturnType<typeof way>, timeS: number): number =>
    waves.reduce((sum, one) => sum + one(timeS), 0)
  const share = wandersPx / 20
  return (timeS) => ({
    right: wandersPx * at(right, timeS),
    down: wandersPx * at(down, timeS),
    turn: share * 0.026 * at(turn, timeS),
    nearer: share * 0.02 * at(nearer, timeS),
  })
}

/** The picture as a camera sees it that is held so. */
function wandered(map: Float32Array, width: number, height: number, held: Held): Float32Array {
  const to = new Float32Array(map.length)
  const [cos, sin] = [Math.cos(held.turn) * (1 + held.nearer), Math.sin(held.turn)]
  for (let y = 0; y < height; y += 1)
    for (let x = 0; x < width; x += 1) {
      const [dx, dy] = [x - width / 2 - held.right, y - height / 2 - held.down]
      const sx = Math.max(0, Math.min(width - 1.001, width / 2 + dx * cos + dy * sin))
      const sy = Math.max(0, Math.min(height - 1.001, height / 2 - dx * sin + dy * cos))
      const [ix, iy] = [Math.floor(sx), Math.floor(sy)]
      const [fx, fy] = [sx - ix, sy - iy]
      const at = iy * width + ix
      to[y * width + x] =
        (map[at]! * (1 - fx) + map[at + 1]! * fx) * (1 - fy) +
        (map[at + width]! * (1 - fx) + map[at + width + 1]! * fx) * fy
    }
  return to
}

function midway(one: Float32Array, other: Float32Array): Float32Array {
  return one.map((value, i) => (value + other[i]!) / 2)
}

/** Uniform numbers in [0, 1) from a seed: mulberry32 (public domain, T. Ettinger, from memory). */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

/** Near to normal: the sum of four uniform numbers, scaled. */
function normal(random: () => number): number {
  return (random() + random() + random() + random() - 2) * Math.sqrt(3)
}

/** Noise is drawn once, and each frame begins elsewhere in it: a film has millions of pixels. A prime number of them. */
const NOISE = drawnNoise(99_991)

function drawnNoise(length: number): Float32Array {
  const random = seededRandom(20)
  return Float32Array.from({ length }, () => normal(random))
}

function bell(length: number, middle: number, sigma: number): Float32Array {
  return Float32Array.from({ length }, (_, i) => Math.exp(-((i - middle) ** 2) / (2 * sigma ** 2)))
}
