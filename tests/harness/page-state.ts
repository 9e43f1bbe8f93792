import type { Page } from 'playwright-core'
import { expect } from 'vitest'
import { seriousFindings } from './browser.js'

/** Nothing on the page is wider than the screen, and nobody is kept out of it. */
export async function expectInOrder(page: Page, view: string): Promise<void> {
  const wide = await page.evaluate<number>(
    'document.documentElement.scrollWidth - document.documentElement.clientWidth',
  )
  expect(wide, `${view} is wider than the screen`).toBeLessThanOrEqual(0)
  expect(await seriousFindings(page), view).toEqual([])
}

/** All of these are to be seen without scrolling. */
export async function expectAboveTheFold(page: Page, ...parts: ReturnType<Page['locator']>[]): Promise<void> {
  await page.evaluate('scrollTo(0, 0)')
  const { height } = page.viewportSize()!
  for (const part of parts) {
    const box = (await part.boundingBox())!
    expect(box.y + box.height, String(part)).toBeLessThanOrEqual(height)
  }
}
