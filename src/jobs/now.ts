/** Now as the store keeps times: ISO 8601, UTC. */
export function nowIso(): string {
  return new Date().toISOString()
}
