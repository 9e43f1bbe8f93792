import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { curvePicture, dialCard, driftPicture } from '../../src/pictures/index.js'
import { driftChart } from '../../src/planning/control-charts/index.js'
import { hasProgram, shownInChromium } from '../harness/outside/outside-programs.js'
import { temporaryFolder } from '../harness/program.js'
import { STRAIGHT } from '../planning/sample-tables.js'

const CHECK = {
  at: '2026-01-01T10:00:00.000Z',
  verdict: 'holds' as const,
  reason: 'gibs <adjusted> & greased',
  tables: '+ table 1',
  value: 0.002,
  ownUncertainty: 0.002,
  tableUncertainty: 0.001,
}

it.skipIf(!hasProgram('chromium'))('every kind of picture is drawn by Chromium as the SVG file it is', () => {
  const folder = temporaryFolder()
  const pictures = {
    card: dialCard({ tables: [STRAIGHT], dialRange: [0, 10] }),
    curve: curvePicture([{ table: STRAIGHT, runs: [] }]),
    drift: driftPicture({ title: 'Bench & co', subtitles: ['feed'] }, driftChart([CHECK])),
    broken: '<svg xmlns="http://www.w3.org/2000/svg" width="10" height="10"><text>&nbsp;</text></svg>',
  }
  for (const [name, svg] of Object.entries(pictures)) writeFileSync(join(folder, `${name}.svg`), svg)
  const images = Object.keys(pictures).map((name) => `<img id="${name}" src="${name}.svg">`)
  const tell = `onload="for (const one of document.images) one.dataset.size = one.naturalWidth + 'x' + one.naturalHeight"`
  writeFileSync(join(folder, 'all.html'), `<!doctype html><body ${tell}>${images.join('')}</body>`)
  const shown = shownInChromium(`file://${join(folder, 'all.html')}`)
  for (const [name, svg] of Object.entries(pictures)) {
    const [, width, height] = /width="(\d+)" height="(\d+)"/.exec(svg)!
    // An image that is not well-formed has no size.
    expect(shown).toContain(
      `src="${name}.svg" data-size="${name === 'broken' ? '0x0' : `${width}x${height}`}"`,
    )
  }
})
