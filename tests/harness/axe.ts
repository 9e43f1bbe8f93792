import { readFile } from 'node:fs/promises'
import { resolve } from 'node:path'
import type { Page } from 'playwright-core'

/** The rule that looks at colours. It takes most of the time of all rules, so it has a way of its own: see `colourFindings`. */
const COLOURS = 'color-contrast'

/**
 * What axe-core finds on the page as it stands, one line each: what keeps a person out, or makes it hard to find one's way.
 *
 * @param rules those to look for alone beside the colours; all of them where left out
 */
export async function axeFindings(page: Page, rules: readonly string[] = []): Promise<string[]> {
  await loadAxe(page)
  const others = await page.evaluate(
    async ({ only, colours }) => {
      const { axe } = globalThis as unknown as { axe: { run: (options: object) => Promise<AxeResult> } }
      // What is in order is not listed, which would take most of the time.
      const { violations } = await axe.run({
        ...{ resultTypes: ['violations'], preload: false },
        ...(only.length > 0 ? { runOnly: only } : { rules: { [colours]: { enabled: false } } }),
      })
      return violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html).join(' | ')}`)
    },
    { only: rules, colours: COLOURS },
  )
  return [...others, ...(await colourFindings(page))]
}

interface AxeResult {
  readonly violations: readonly {
    readonly id: string
    readonly nodes: readonly { readonly html: string }[]
  }[]
}

/** Looks of words that axe found to be legible on a page of this worker. */
const legible = new Set<string>()

/**
 * What axe-core finds about colours. How well words are seen follows from their colour, size and weight and from what is
 * painted behind them; so of all words that look alike axe sees one, and none where it saw that look on an earlier view.
 */
export async function colourFindings(page: Page): Promise<string[]> {
  await loadAxe(page)
  const { passed, findings } = await page.evaluate<{ passed: string[]; findings: string[] }>(
    `(${SEE_NEW_LOOKS})(${JSON.stringify([...legible])})`,
  )
  for (const look of passed) legible.add(look)
  return findings
}

/** Runs in the page. A look about which axe is not sure is seen again wherever it is met. */
const SEE_NEW_LOOKS = `async (known) => {
  const painted = new Map()
  const behind = (part) => {
    if (part === null) return ''
    if (!painted.has(part)) {
      const { backgroundColor, backgroundImage, opacity, position, clipPath } = getComputedStyle(part)
      const own = [backgroundColor, backgroundImage, opacity, position, clipPath].join()
      const adds = own !== 'rgba(0, 0, 0, 0),none,1,static,none'
      painted.set(part, behind(part.parentElement) + (adds ? own + ' > ' : ''))
    }
    return painted.get(part)
  }
  const looks = new Map()
  const seen = new Set(known)
  for (const part of document.body.querySelectorAll('*')) {
    const words = [...part.childNodes].map((node) => (node.nodeType === Node.TEXT_NODE ? node.data.trim() : '')).join('')
    if ((words === '' && !part.matches('input, select, textarea')) || !part.checkVisibility()) continue
    const { color, fontSize, fontWeight, textShadow } = getComputedStyle(part)
    // Axe leaves out what is switched off, and is not sure of a single letter.
    const isOff = (part.closest('label')?.control ?? part).closest(':disabled, [aria-disabled=true]') !== null
    const look = behind(part) + [color, fontSize, fontWeight, textShadow, isOff, words.length === 1].join()
    if (!seen.has(look) && !looks.has(look)) looks.set(look, part)
  }
  if (looks.size === 0) return { passed: [], findings: [] }
  const { violations, incomplete } = await axe.run(
    { include: [...looks.values()] },
    { runOnly: ['${COLOURS}'], resultTypes: ['violations', 'incomplete'], elementRef: true },
  )
  const nodes = [violations, incomplete].map((results) => results.flatMap((result) => result.nodes))
  const doubtful = new Set(nodes.flat().map((node) => node.element))
  return {
    passed: [...looks].filter(([, part]) => !doubtful.has(part)).map(([look]) => look),
    findings: nodes[0].map((node) => '${COLOURS}: ' + node.html),
  }
}`

async function loadAxe(page: Page): Promise<void> {
  if (await page.evaluate<boolean>("'axe' in globalThis")) return
  await page.evaluate(await readFile(resolve('node_modules/axe-core/axe.min.js'), 'utf8'))
}
