/** Where the token is kept, so that a page that is reloaded stays let in. */
const KEPT_AS = 'tablepace.pairing'

/** The address as it is shown or scanned, with the view to open behind it where one is named. */
const LETS_IN = /^#pair=([\w-]+)#?(\/.*)?$/

/**
 * Takes the token out of the address. It comes behind the `#`, which a browser sends nowhere, and leaves the address
 * bar at once, so that it is not read over a shoulder or bookmarked.
 *
 * @returns whether there was one
 */
function takeToken(): boolean {
  const [, token, view] = LETS_IN.exec(location.hash) ?? []
  if (token === undefined) return false
  localStorage.setItem(KEPT_AS, token)
  history.replaceState(null, '', `#${view ?? '/look-up'}`)
  return true
}

takeToken()
// A new address opened in the same tab changes what stands behind # alone, and loads nothing by itself.
addEventListener('hashchange', () => {
  if (takeToken()) location.reload()
})

/** The token of the newest address that was opened in this browser, or null. */
export function currentToken(): string | null {
  return localStorage.getItem(KEPT_AS)
}
