import type { Page } from 'playwright-core'
import { expect } from 'vitest'
import { axeFindings } from './browser.js'

/** Nothing on the page is wider than the screen, and nobody is kept out of it, in the light or in the dark. */
export async function expectInOrder(page: Page, view: string): Promise<void> {
  const wide = await page.evaluate<number>(
    'document.documentElement.scrollWidth - document.documentElement.clientWidth',
  )
  expect(wide, `${view} is wider than the screen`).toBeLessThanOrEqual(0)
  expect(await axeFindings(page), view).toEqual([])
  // The scheme changes colours and nothing else.
  await page.emulateMedia({ colorScheme: 'dark' })
  expect(await axeFindings(page, ['color-contrast']), `${view}, in the dark`).toEqual([])
  await page.emulateMedia({ colorScheme: null })
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

/** Opens another view without loading the page again. */
export async function openView(page: Page, view: string): Promise<void> {
  await page.evaluate(`location.hash = '#/${view}'`)
}
