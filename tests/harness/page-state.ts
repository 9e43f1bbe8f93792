import type { Locator, Page } from 'playwright-core'
import { expect } from 'vitest'
import { axeFindings, colourFindings } from './axe.js'
import { LAPTOP, PHONE } from './browser.js'

/** The rules of axe that depend on where things lie and how large they are, beside colours: of its default rules, by reading their list. */
const OF_LAYOUT = ['link-in-text-block', 'scrollable-region-focusable']

/** CSS px: what WCAG 2.2, 1.4.10 Reflow, asks of a page. */
const REFLOW_WIDTH = 320

/** Nothing on the page is wider than the screen, and nobody is kept out of it, in the light or in the dark. */
export async function expectInOrder(page: Page, view: string): Promise<void> {
  await expectNotWide(page, view)
  expect(await axeFindings(page), view).toEqual([])
  // The scheme changes colours and nothing else. Each change is drawn, so the page stays as it is then.
  const isDark = await page.evaluate<boolean>("matchMedia('(prefers-color-scheme: dark)').matches")
  const other = isDark ? 'light' : 'dark'
  await page.emulateMedia({ colorScheme: other })
  expect(await colourFindings(page), `${view}, ${other}`).toEqual([])
}

/** The same of a view that was in order at another size with the same parts: what a size can change. */
async function expectLaidOutInOrder(page: Page, view: string): Promise<void> {
  await expectNotWide(page, view)
  expect(await axeFindings(page, OF_LAYOUT), view).toEqual([])
}

/** Nothing on the page is wider than the screen. */
export async function expectNotWide(page: Page, view: string): Promise<void> {
  const wide = await page.evaluate<number>(
    'document.documentElement.scrollWidth - document.documentElement.clientWidth',
  )
  expect(wide, `${view} is wider than the screen`).toBeLessThanOrEqual(0)
}

/** The same on a screen of this width, which the page keeps. */
export async function expectNotWideAt(width: number, page: Page, view: string): Promise<void> {
  await page.setViewportSize({ width, height: PHONE.viewport.height })
  await expectNotWide(page, `${view} at ${width} px`)
}

/** Which parts of the view are to be seen at this size; two sizes that show the same give the same. */
function shownParts(page: Page): Promise<string> {
  return page.evaluate<string>(`[...document.querySelectorAll('main *')]
    .map((part) => Number(part.checkVisibility() && getComputedStyle(part).clipPath === 'none'))
    .join('')`)
}

/** All of these are to be seen without scrolling. */
export async function expectAboveTheFold(page: Page, ...parts: Locator[]): Promise<void> {
  await page.evaluate('scrollTo(0, 0)')
  const { height } = page.viewportSize()!
  for (const part of parts) {
    const box = (await part.boundingBox())!
    expect(box.y + box.height, String(part)).toBeLessThanOrEqual(height)
  }
}

/** The same on a phone, where the page was opened, and on a screen as large as a laptop's. */
export async function expectAboveTheFoldAtBothSizes(page: Page, ...parts: Locator[]): Promise<void> {
  await expectAboveTheFold(page, ...parts)
  await page.setViewportSize(LAPTOP.viewport)
  await expectAboveTheFold(page, ...parts)
  await page.setViewportSize(PHONE.viewport)
}

/** A view that was opened on a phone, in order on it and as it is then on a screen as large as a laptop's. */
export async function expectInOrderAtBothSizes(
  page: Page,
  view: string,
  ...aboveTheFold: Locator[]
): Promise<void> {
  await expectAboveTheFold(page, ...aboveTheFold)
  await expectInOrder(page, `${view} on a phone`)
  const onPhone = await shownParts(page)
  await page.setViewportSize(LAPTOP.viewport)
  await expectAboveTheFold(page, ...aboveTheFold)
  // Where a larger screen has room for other parts, these may be wrong in any way.
  if ((await shownParts(page)) === onPhone) await expectLaidOutInOrder(page, `${view} on a laptop`)
  else await expectInOrder(page, `${view} on a laptop`)
  await expectNotWideAt(REFLOW_WIDTH, page, view)
  await page.setViewportSize(PHONE.viewport)
}

/** Opens another view without loading the page again. */
export async function openView(page: Page, view: string): Promise<void> {
  await page.evaluate(`location.hash = '#/${view}'`)
}
