/** Where the pairing token is kept, so that a phone that reloads stays paired. */
const KEPT_AS = 'tablepace.pairing'

/**
 * The pairing token. It comes behind the `#` of the scanned address, which a browser sends nowhere; it is taken out of
 * the address bar at once, so that it is not read over a shoulder or bookmarked.
 */
export function pairingToken(): string | null {
  const scanned = /^#pair=([\w-]+)$/.exec(location.hash)?.[1]
  if (scanned !== undefined) {
    localStorage.setItem(KEPT_AS, scanned)
    history.replaceState(null, '', '#/feeds')
  }
  return localStorage.getItem(KEPT_AS)
}
