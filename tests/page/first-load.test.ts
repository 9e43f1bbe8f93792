import { describe, expect, it } from 'vitest'
import { servedStore } from '../harness/browser.js'
import { letInBy } from '../harness/page-api.js'
import { rawRequest } from '../harness/raw-request.js'

describe('what the page loads', () => {
  it('comes from the program alone and is at most 120 kB over the wire', async () => {
    const { served } = await servedStore([1])
    const { body } = await rawRequest(served.url)
    const named = [...body.matchAll(/(?:href|src)="([^"]+)"/g)].map((match) => match[1]!)
    expect(named.length).toBeGreaterThan(2)
    // What a script imports from the start is loaded with it; what it imports when a view is opened is not.
    for (const script of named.filter((path) => path.endsWith('.js'))) {
      const { body: code } = await rawRequest(served.url, { path: script })
      named.push(...[...code.matchAll(/\bfrom\s*"\.(\/[^"]+)"/g)].map((match) => match[1]!))
    }
    let bytes = 0
    const asked = ['/api/start']
    for (const path of ['/', ...named, ...asked]) {
      expect(path).toMatch(/^\//)
      const { headers, status } = await rawRequest(served.url, {
        path,
        headers: { 'Accept-Encoding': 'gzip', ...letInBy(served.url) },
      })
      expect(status, path).toBe(200)
      // What is shorter than a packet goes as it is.
      if (Number(headers['content-length']) > 1000) expect(headers['content-encoding']).toBe('gzip')
      bytes += Number(headers['content-length'])
    }
    expect(bytes).toBeLessThanOrEqual(120_000)
  })
})
