import type { Phases } from '../traverse/index.js'
import { fromMm, type LengthUnit } from '../units/index.js'
import { element, type Markup } from './element.js'
import { headingHeight, PAGE_MARGIN, page } from './page.js'
import { label, line, type Panel, panel } from './panel.js'
import type { RunTrack, SteadyResiduals } from './run-track.js'
import { polyline } from './shapes.js'
import { INK, QUIET_INK } from './style.js'

/** What stands above the picture of a run; user text is escaped. */
export interface RunHeading {
  readonly title: string
  readonly subtitles: readonly string[]
}

/** Lay-out, px: judgement, by eye. */
const WIDTH = 920
const TRACK_HEIGHT = 300
const RESIDUAL_HEIGHT = 200
const BELOW = 44
const ABOVE = 42
const AXIS_LEFT = 74
const TRACK_INK = '#123f66'
const RIPPLE_INK = '#7d3c00'
/** Ground of the steady part; the dashed edges and the word say the same without colour. */
const STEADY_GROUND = '#eef3f8'

/** Small lengths in a unit that suits them: thousandths of an inch or of a degree, or micrometres. */
export const SMALL_UNIT: Readonly<Record<LengthUnit, { readonly name: string; readonly perMm: number }>> = {
  in: { name: '0.001 in', perMm: 1000 / 25.4 },
  mm: { name: 'µm', perMm: 1000 },
  deg: { name: '0.001 deg', perMm: 1000 },
}

/**
 * One run as an SVG document: position against time with its phases, and below it how far the steady part lies from a
 * straight line, with the leadscrew's ripple where one was found.
 */
export function runPicture(heading: RunHeading, track: RunTrack, unit: LengthUnit): string {
  const top = headingHeight(heading.subtitles) + ABOVE
  const { steady } = track
  const xDomain = [0, track.timeS.at(-1) ?? 1] as const
  const place = { left: AXIS_LEFT, right: WIDTH - PAGE_MARGIN, xDomain, xTitle: 'time, s' }
  const residualTop = top + TRACK_HEIGHT + BELOW + ABOVE
  const parts = [
    trackPanel(track, unit, { ...place, top, bottom: top + TRACK_HEIGHT }),
    ...(steady === null
      ? []
      : [
          residualPanel(steady, unit, {
            ...place,
            top: residualTop,
            bottom: residualTop + RESIDUAL_HEIGHT,
          }),
        ]),
  ]
  const bottom = steady === null ? top + TRACK_HEIGHT : residualTop + RESIDUAL_HEIGHT
  return page(
    {
      width: WIDTH,
      height: bottom + BELOW + PAGE_MARGIN / 2,
      ...heading,
      description: describe(track, unit),
    },
    parts,
  )
}

type Place = Pick<Parameters<typeof panel>[0], 'left' | 'right' | 'top' | 'bottom' | 'xDomain' | 'xTitle'>

function trackPanel(track: RunTrack, unit: LengthUnit, place: Place): Markup {
  const positions = track.positionMm.map((position) => fromMm(position, unit))
  const { panel: frame, drawn } = panel({
    name: 'track',
    ...place,
    yDomain: roomy(positions, WORDS_SHARE),
    yTitle: `position, ${unit}`,
  })
  return element('g', {}, [
    ...(track.phases === null ? [] : [steadyGround(frame, track.phases)]),
    drawn,
    ...(track.phases === null ? [] : phaseEdges(frame, track.phases)),
    polyline(
      frame,
      positions.map((position, i) => [track.timeS[i]!, position] as const),
      { ink: TRACK_INK },
    ),
  ])
}

function steadyGround({ x, top, bottom }: Panel, { steadyFromS, steadyToS }: Phases): Markup {
  return element('rect', {
    x: x(steadyFromS),
    y: top,
    width: x(steadyToS) - x(steadyFromS),
    height: bottom - top,
    fill: STEADY_GROUND,
  })
}

/** Room that a word takes beside a phase, px: judgement. */
const WORD_ROOM = 52
/** Share of the scale that is kept free for words: judgement. */
const WORDS_SHARE = 0.13

function phaseEdges(frame: Panel, phases: Phases): Markup[] {
  const { x, top, bottom, right } = frame
  const edges = [phases.startS, phases.steadyFromS, phases.steadyToS, phases.endS]
  const words = ['rest', 'ramp up', 'steady', 'coast', 'rest']
  const bounds = [frame.left, ...edges.map((edge) => x(edge)), right]
  return [
    ...edges.map((edge) => line(x(edge), top, x(edge), bottom, QUIET_INK, '5 4')),
    ...words.flatMap((word, i) => {
      const [from, to] = [bounds[i]!, bounds[i + 1]!]
      return to - from < WORD_ROOM ? [] : [label((from + to) / 2, top + 18, word, 'middle')]
    }),
  ]
}

function residualPanel(steady: SteadyResiduals, unit: LengthUnit, place: Place): Markup {
  const small = SMALL_UNIT[unit]
  const residuals = steady.residualMm.map((residual) => residual * small.perMm)
  const { panel: frame, drawn } = panel({
    name: 'residuals',
    ...place,
    yDomain: roomy([...residuals, 0]),
    yTitle: `steady part: distance from a straight line, ${small.name}${steady.rippleMm === null ? '' : `; the line is the ripple of the ${screwOf(unit)}`}`,
  })
  return element('g', {}, [
    drawn,
    line(frame.left, frame.y(0), frame.right, frame.y(0), INK),
    element(
      'g',
      { fill: TRACK_INK, 'fill-opacity': 0.65 },
      residuals.map((residual, i) =>
        element('circle', { cx: frame.x(steady.timeS[i]!), cy: frame.y(residual), r: 1.6 }),
      ),
    ),
    ...(steady.rippleMm === null
      ? []
      : [
          polyline(
            frame,
            steady.rippleMm.map((ripple, i) => [steady.timeS[i]!, ripple * small.perMm] as const),
            { ink: RIPPLE_INK },
          ),
        ]),
  ])
}

/** From the least to the largest value with a little room, more above as a share of the span; never empty. */
function roomy(values: readonly number[], above = 0.06): [number, number] {
  const low = values.reduce((least, value) => Math.min(least, value), Number.POSITIVE_INFINITY)
  const high = values.reduce((most, value) => Math.max(most, value), Number.NEGATIVE_INFINITY)
  if (!(high > low)) return [low - 1, low + 1]
  return [low - 0.06 * (high - low), high + above * (high - low)]
}

/** What turns with the handle and leaves its ripple. */
function screwOf(unit: LengthUnit): 'worm' | 'leadscrew' {
  return unit === 'deg' ? 'worm' : 'leadscrew'
}

function describe({ phases, steady, timeS }: RunTrack, unit: LengthUnit): string {
  const length = (timeS.at(-1) ?? 0).toFixed(1)
  if (phases === null) return `Position of the table over ${length} s; no steady part was found.`
  return [
    `Position of the table over ${length} s: at rest, from ${phases.startS.toFixed(1)} s on moving,`,
    `steady from ${phases.steadyFromS.toFixed(1)} to ${phases.steadyToS.toFixed(1)} s, at rest again at ${phases.endS.toFixed(1)} s.`,
    ...(steady === null
      ? []
      : [
          'Below it how far each reading of the steady part lies from a straight line',
          steady.rippleMm === null ? 'without a ripple.' : `and the ripple of the ${screwOf(unit)}.`,
        ]),
  ].join(' ')
}
