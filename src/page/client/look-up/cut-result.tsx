import { useEffect, useRef } from 'preact/hooks'
import { MEASURED_SENTENCE } from '../../../planning/lookup/free-of-cut.js'
import { feedUnit, formatDial, formatInterval, type MachineUnit } from '../../../units/index.js'
import {
  bothChipLoads,
  bothFeeds,
  bothForces,
  bothHeights,
  bothLengths,
  bothPowers,
  bothSpeeds,
  bothVolumes,
  formatRpm,
} from '../../../words/both-systems.js'
import type { CutView } from '../../api.js'
import { usePage } from '../model/use-page.js'
import { Figure } from '../parts/figure.js'
import { Notice } from '../parts/notice.js'

/** A cut that was worked out: what to set in the largest type, then the figures and where they come from. */
export function CutResult({ cut, unit }: { cut: CutView; unit: MachineUnit }) {
  const { axis } = usePage()
  const { answer, range, changes } = cut
  const { plan, dial, chipLoad } = answer
  const { spindle, feedMmPerMin } = plan
  const levers = useRef<HTMLDListElement>(null)
  // On a phone the answer comes below the fields.
  useEffect(() => levers.current?.scrollIntoView({ block: 'start' }), [cut])
  return (
    <div role="status">
      <dl class="levers" ref={levers}>
        <Figure name="Dial" value={dial === null ? 'none' : formatDial(dial.dial.value, axis)}>
          {dial === null
            ? (cut.noDial ?? '')
            : `next time you set it: ${formatInterval(dial.nextSetting95, unit)} ${feedUnit(unit)}, 95 %`}
        </Figure>
        <Figure name="Spindle" value={spindle.setRpm === null ? 'none' : formatRpm(spindle.setRpm)}>
          wanted {formatRpm(spindle.wantedRpm)} for {bothSpeeds(cut.cuttingSpeedMPerMin, unit)}
        </Figure>
      </dl>
      <Notice kind="note">
        <p>
          <strong>A starting point, no more: begin below it.</strong>
        </p>
        <ul>
          {cut.cautions.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      </Notice>
      {cut.warnings.map((warning) => (
        <Notice kind="trouble" key={warning}>
          {warning}
        </Notice>
      ))}
      {dial !== null && <p class="quiet">{MEASURED_SENTENCE}</p>}
      <dl class="figures">
        <Figure
          name="Feed"
          value={feedMmPerMin.atSetRpm === null ? 'none' : bothFeeds(feedMmPerMin.atSetRpm, unit)}
        >
          {bothFeeds(feedMmPerMin.wanted, unit)} at the wanted speed
        </Figure>
        <Figure
          name="Chip load a tooth"
          value={bothChipLoads(
            chipLoad.nextSetting95?.[0] ?? chipLoad.chipLoadMm,
            unit,
            chipLoad.nextSetting95?.[1],
          )}
        >
          wanted {bothChipLoads(cut.chipLoadMm, unit)}
          {range !== null && `, range ${bothChipLoads(range.lowMm, unit, range.highMm)}`}
        </Figure>
        <CutFigures answer={answer} unit={unit} />
      </dl>
      {changes.length > 0 && (
        <>
          <h2>What you could change</h2>
          <ul>
            {changes.map((change) => (
              <li key={change}>{change}</li>
            ))}
          </ul>
        </>
      )}
      <details>
        <summary>Where the numbers come from</summary>
        <ul>
          {cut.sources.map((source) => (
            <li key={source}>{source}</li>
          ))}
        </ul>
      </details>
    </div>
  )
}

/** What follows from the cut: its size, and what it asks of the machine. */
function CutFigures({ answer, unit }: { answer: CutView['answer']; unit: MachineUnit }) {
  const { engagement, results } = answer
  return (
    <>
      {engagement.widthMm !== null && (
        <Figure name="Width of cut" value={bothLengths(engagement.widthMm, unit)}>
          {engagement.widthProposed ? 'proposed' : ''}
        </Figure>
      )}
      {engagement.depthMm !== null && (
        <Figure name="Depth of cut" value={bothLengths(engagement.depthMm, unit)}>
          {engagement.depthProposed ? 'proposed' : ''}
        </Figure>
      )}
      {results.removalRateMm3PerMin !== null && (
        <Figure name="Removal rate" value={bothVolumes(results.removalRateMm3PerMin, unit)} />
      )}
      {results.power !== null && (
        <Figure
          name="Power at the spindle"
          value={bothPowers(results.power.lowW, unit, results.power.highW)}
        />
      )}
      {results.feedForceN !== null && (
        <Figure name="Force along the feed" value={`about ${bothForces(results.feedForceN, unit)}`} />
      )}
      {results.feedMarks.map(
        ({ surface, everyTooth }) =>
          everyTooth !== null && (
            <Figure
              key={surface}
              name={`Feed marks on the ${surface}`}
              value={bothHeights(everyTooth.exactMm, unit)}
            />
          ),
      )}
    </>
  )
}
