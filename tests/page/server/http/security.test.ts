import { execFileSync } from 'node:child_process'
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import type { AxisAnswer, PortsAnswer } from '../../../../src/page/api.js'
import { planSession } from '../../../../src/planning/index.js'
import { builtInProcedure } from '../../../../src/planning/procedures/index.js'
import { servedStore } from '../../../harness/browser.js'
import { readoutForTest } from '../../../harness/live/pty-readout.js'
import { letInBy, pageApi } from '../../../harness/page-api.js'
import { temporaryFolder } from '../../../harness/program.js'
import { rawRequest } from '../../../harness/raw-request.js'

const JSON_TYPE = { 'Content-Type': 'application/json' }

describe('the page on this computer', () => {
  it('answers under its own names alone: a foreign name that leads here gets nothing', async () => {
    const { served } = await servedStore([1])
    const { port, host, origin } = new URL(served.url)
    for (const name of [host, `localhost:${port}`]) {
      const headers = { ...letInBy(served.url), Host: name }
      expect((await rawRequest(served.url, { path: '/api/start', headers })).status).toBe(200)
    }
    for (const name of [
      `evil.example:${port}`,
      'evil.example',
      `127.0.0.1.evil.example:${port}`,
      '127.0.0.1',
      '',
    ]) {
      for (const path of ['/', '/api/start', '/api/events']) {
        // The origin of a page under a foreign name is that name, or is not said at all.
        const headers = { ...letInBy(served.url), Host: name }
        expect(await rawRequest(served.url, { path, headers })).toMatchObject({
          status: 421,
          body: '',
        })
      }
    }
    expect(origin).toBe(`http://127.0.0.1:${port}`)
  })

  it('refuses what another site sends: by its origin, by its form, by what the browser says of it', async () => {
    const { served, axisId, store } = await servedStore([1])
    const { origin } = new URL(served.url)
    const begin = {
      method: 'POST',
      path: '/api/session/begin',
      body: JSON.stringify({ axisId, procedure: 'quick' }),
    }
    const status = async (headers: Record<string, string>): Promise<number> =>
      (await rawRequest(served.url, { ...begin, headers: { ...letInBy(served.url), ...headers } })).status
    expect(await status({ ...JSON_TYPE, Origin: 'http://evil.example' })).toBe(403)
    expect(await status({ ...JSON_TYPE, Origin: 'null' })).toBe(403)
    expect(await status({ ...JSON_TYPE })).toBe(403)
    expect(await status({ Origin: origin, 'Content-Type': 'text/plain' })).toBe(415)
    expect(await status({ Origin: origin, 'Content-Type': 'application/x-www-form-urlencoded' })).toBe(415)
    expect(await status({ ...JSON_TYPE, Origin: origin, 'Sec-Fetch-Site': 'cross-site' })).toBe(403)
    expect(store.sessions.inProgress(axisId)).toBeNull()
    expect(await status({ ...JSON_TYPE, Origin: origin, 'Sec-Fetch-Site': 'same-origin' })).toBe(200)
    expect(store.sessions.inProgress(axisId)).not.toBeNull()
    for (const method of ['PUT', 'DELETE', 'OPTIONS', 'TRACE']) {
      expect((await rawRequest(served.url, { method, path: '/api/start' })).status).toBe(405)
    }
  })

  it('never lets another site read: no answer carries a header that would allow it', async () => {
    const { served } = await servedStore([1])
    for (const path of ['/', '/page.js', '/style.css', '/api/start']) {
      const { headers, status } = await rawRequest(served.url, { path, headers: letInBy(served.url) })
      expect(status).toBe(200)
      expect(Object.keys(headers).filter((name) => name.startsWith('access-control'))).toEqual([])
      expect(headers['content-security-policy']).toContain("default-src 'none'")
      expect(headers['content-security-policy']).not.toMatch(/unsafe|\*|https?:/)
      expect(headers['x-content-type-options']).toBe('nosniff')
    }
    const types = await Promise.all(
      ['/', '/page.js', '/style.css', '/api/start'].map(
        async (path) =>
          (await rawRequest(served.url, { path, headers: letInBy(served.url) })).headers['content-type'],
      ),
    )
    expect(types).toEqual([
      'text/html; charset=utf-8',
      'text/javascript; charset=utf-8',
      'text/css; charset=utf-8',
      'application/json',
    ])
  })

  it('serves the files of the page and no others, however the path is written', async () => {
    const { served } = await servedStore([1])
    for (const path of [
      '/../package.json',
      '/..%2fpackage.json',
      '/%2e%2e/package.json',
      '/....//package.json',
      '/page.js/../../package.json',
      '//package.json',
      '/.git/config',
      '/index.html%00',
      '/C:%5cWindows',
      '/api/../store.db',
    ]) {
      expect((await rawRequest(served.url, { path, headers: letInBy(served.url) })).status, path).toBe(404)
    }
    expect((await rawRequest(served.url, { path: 'http://evil.example/api/start' })).status).toBe(400)
  })

  it('takes no more than a small body, and says what is wrong with a bad one', async () => {
    const { served, axisId } = await servedStore([1])
    const { origin } = new URL(served.url)
    const send = (path: string, body: string): ReturnType<typeof rawRequest> =>
      rawRequest(served.url, {
        ...{ method: 'POST', path, body },
        headers: { ...letInBy(served.url), ...JSON_TYPE, Origin: origin },
      })
    const get = (path: string): ReturnType<typeof rawRequest> =>
      rawRequest(served.url, { path, headers: letInBy(served.url) })
    expect((await send('/api/fit', JSON.stringify({ axisId, more: 'x'.repeat(70_000) }))).status).toBe(413)
    expect(await send('/api/fit', '{')).toMatchObject({
      status: 400,
      body: expect.stringContaining('not JSON'),
    })
    expect(await send('/api/fit', JSON.stringify({ axisId: 'one' }))).toMatchObject({
      status: 400,
      body: expect.stringContaining('axisId'),
    })
    expect(await send('/api/fit', JSON.stringify({ axisId, also: 1 }))).toMatchObject({ status: 400 })
    expect(await send('/api/fit', JSON.stringify({ axisId }))).toMatchObject({
      status: 422,
      body: expect.stringContaining('too-few-runs'),
    })
    // A recording begins only where the cautions were agreed to.
    const what = { kind: 'run', dial: 1, dialReset: true }
    expect((await send('/api/live/arm', JSON.stringify({ what, allClear: false }))).status).toBe(400)
    expect((await send('/api/live/arm', JSON.stringify({ what }))).status).toBe(400)
    expect((await get('/api/axis?id=999')).status).toBe(400)
    expect((await get('/api/nothing')).status).toBe(404)
  })
})

describe('who may use the page on this computer', () => {
  it('lets in who knows the address it shows, and no other user of the computer', async () => {
    const { served, axisId, store } = await servedStore([1])
    const other = await servedStore([1])
    const { origin } = new URL(served.url)
    const { Authorization } = letInBy(served.url)
    expect(Authorization).toMatch(/^Bearer [\w-]{22,}$/)
    for (const wrong of [
      {},
      letInBy(other.served.url),
      { Authorization: `${Authorization}x` },
      { Authorization: Authorization.slice(0, -1) },
      { Authorization: 'Bearer ' },
      { Authorization: Authorization.replace('Bearer ', 'Basic ') },
    ]) {
      for (const path of ['/api/start', '/api/pairing', '/api/events', `/api/axis?id=${axisId}`]) {
        expect(await rawRequest(served.url, { path, headers: wrong })).toMatchObject({
          status: 401,
          body: '',
        })
      }
      const begin = await rawRequest(served.url, {
        ...{ method: 'POST', path: '/api/session/begin' },
        body: JSON.stringify({ axisId, procedure: 'quick' }),
        headers: { ...wrong, ...JSON_TYPE, Origin: origin },
      })
      expect(begin.status).toBe(401)
    }
    expect(store.sessions.inProgress(axisId)).toBeNull()
    // The page itself holds nothing, so anyone may have it.
    expect((await rawRequest(served.url)).status).toBe(200)
  })

  it('refuses a header that comes twice where it decides who is let in', async () => {
    const { served } = await servedStore([1])
    const { host, origin } = new URL(served.url)
    const { Authorization } = letInBy(served.url)
    const sound = { Host: host, Origin: origin, Authorization, 'Sec-Fetch-Site': 'same-origin' }
    const status = async (changes: Record<string, string[]>): Promise<number> => {
      // As a flat list, since a table of headers would join what comes twice.
      const headers = Object.entries({ ...sound, ...changes }).flatMap(([name, values]) =>
        [values].flat().flatMap((value) => [name, value]),
      )
      return (await rawRequest(served.url, { path: '/api/start', headers })).status
    }
    expect(await status({})).toBe(200)
    expect(await status({ Host: [host, 'evil.example'] })).toBe(400)
    expect(await status({ Host: ['evil.example', host] })).toBe(400)
    expect(await status({ Host: [host, host] })).toBe(400)
    expect(await status({ Origin: [origin, 'http://evil.example'] })).toBe(400)
    expect(await status({ Authorization: [Authorization, Authorization] })).toBe(400)
    expect(await status({ 'Sec-Fetch-Site': ['same-origin', 'cross-site'] })).toBe(400)
  })
})

describe('the files and ports that the page can reach', () => {
  const CONNECT = { port: '/dev/null', baudRate: null, profile: null }

  async function connect(what: object): Promise<{ status: number; body: string }> {
    const { served, axisId } = await servedStore([1])
    return rawRequest(served.url, {
      ...{ method: 'POST', path: '/api/live/connect', body: JSON.stringify({ ...CONNECT, axisId, ...what }) },
      headers: { ...letInBy(served.url), ...JSON_TYPE, Origin: new URL(served.url).origin },
    })
  }

  it('takes a profile by its name: no file is opened, whatever it is', async () => {
    const folder = temporaryFolder()
    const secret = join(folder, 'secret.json')
    writeFileSync(secret, 'root:x:0:0')
    const fifo = join(folder, 'fifo.json')
    execFileSync('mkfifo', [fifo])
    for (const profile of [secret, fifo, '/etc/passwd', '/dev/zero', '../../package.json', 'mine.json', '']) {
      const { status, body } = await connect({ profile })
      expect([status, body.includes('root')], profile).toEqual([400, false])
      expect(body).toMatch(/is not the name of a readout profile/)
    }
    expect((await connect({ profile: 'no-such-profile' })).status).toBe(400)
  })

  it('opens a listed port, or one that was named when it was started, and nothing else', async () => {
    const folder = temporaryFolder()
    const file = join(folder, 'file')
    writeFileSync(file, 'X+1.0000\r\n')
    const fifo = join(folder, 'fifo')
    execFileSync('mkfifo', [fifo])
    for (const port of [file, fifo, '/etc/passwd', '/dev/zero', '/dev/tty', '/proc/self/environ']) {
      const { status, body } = await connect({ port })
      expect(status, port).toBe(400)
      expect((JSON.parse(body) as { error: { code: string } }).error.code).toBe('port-not-listed')
    }
    const device = readoutForTest()
    expect((await connect({ port: device.path })).status).toBe(400)
    const { served, axisId } = await servedStore([1], null, [device.path])
    const { ask, tell } = pageApi(served)
    expect((await ask<PortsAnswer>('ports')).ports.map(({ path }) => path)).toContain(device.path)
    await tell('live/connect', { ...CONNECT, axisId, port: device.path })
    await tell('live/disconnect', {})
  })

  it('takes the name of a procedure in the store for no path', async () => {
    const { served, store, axisId } = await servedStore([1])
    const fifo = join(temporaryFolder(), 'fifo.json')
    execFileSync('mkfifo', [fifo])
    const startedAt = new Date().toISOString()
    const plan = planSession(builtInProcedure('quick'), store.axes.byId(axisId))
    store.sessions.start({ axisId, procedure: fifo, plan, source: 'readout', startedAt })
    const { session } = await pageApi(served).ask<AxisAnswer>(`axis?id=${axisId}`)
    expect(session!.procedure).toBe(fifo)
    expect(session!.title).toMatch(/three times/)
  })
})

describe('the page in the local network', () => {
  // Another address of this computer's own: it is not the one that needs no pairing.
  const OTHER = '127.0.0.2'

  it('hands out nothing without the pairing token but the empty page', async () => {
    const { served } = await servedStore([1], OTHER)
    const own = new URL(served.pairingUrl!)
    expect(own.hostname).toBe(OTHER)
    const token = own.hash.replace('#pair=', '')
    // 22 characters of base64url hold 132 bits.
    expect(token).toMatch(/^[\w-]{22,}$/)
    const get = (path: string, authorization?: string): ReturnType<typeof rawRequest> =>
      rawRequest(own.href, {
        path,
        headers: authorization === undefined ? {} : { Authorization: authorization },
      })
    for (const path of [
      '/api/start',
      '/api/axis?id=1',
      '/api/ports',
      '/api/events',
      '/api/pairing',
      '/api/none',
    ]) {
      expect(await get(path), path).toMatchObject({ status: 401, body: '' })
      expect(await get(path, `Bearer ${token.slice(0, -1)}`)).toMatchObject({ status: 401, body: '' })
      expect(await get(path, `Bearer ${token}x`)).toMatchObject({ status: 401, body: '' })
      expect(await get(path, token)).toMatchObject({ status: 401, body: '' })
      expect(await get(`${path}${path.includes('?') ? '&' : '?'}pair=${token}`)).toMatchObject({
        status: 401,
      })
    }
    const shell = await get('/')
    expect(shell.status).toBe(200)
    expect(shell.body).not.toContain('Bench')
    expect((await get('/api/start', `Bearer ${token}`)).body).toContain('Bench')
    // Who is paired may record, but let nobody else in.
    expect(JSON.parse((await get('/api/pairing', `Bearer ${token}`)).body)).toEqual({
      ...{ url: null, modules: null, paired: true },
    })
  })

  it('starts no run for who is not paired', async () => {
    const { served, store, axisId } = await servedStore([1], OTHER)
    const own = new URL(served.pairingUrl!)
    const post = (path: string, body: unknown): ReturnType<typeof rawRequest> =>
      rawRequest(own.href, {
        method: 'POST',
        path,
        body: JSON.stringify(body),
        headers: { ...JSON_TYPE, Origin: own.origin },
      })
    const connect = { axisId, port: '/dev/null', baudRate: null, profile: null }
    expect(await post('/api/live/connect', connect)).toMatchObject({ status: 401, body: '' })
    expect(await post('/api/session/begin', { axisId, procedure: 'quick' })).toMatchObject({ status: 401 })
    expect(store.sessions.inProgress(axisId)).toBeNull()
  })

  it('answers there under that address alone', async () => {
    const { served } = await servedStore([1], OTHER)
    const own = new URL(served.pairingUrl!)
    for (const name of [`localhost:${own.port}`, `127.0.0.1:${own.port}`, `mill.example:${own.port}`]) {
      expect((await rawRequest(own.href, { headers: { Host: name } })).status).toBe(421)
    }
  })

  it('makes a new token every time, and shows it at the computer alone', async () => {
    const first = await servedStore([1], OTHER)
    const second = await servedStore([1], OTHER)
    expect(new URL(first.served.pairingUrl!).hash).not.toBe(new URL(second.served.pairingUrl!).hash)
    const { body } = await rawRequest(first.served.url, {
      path: '/api/pairing',
      headers: letInBy(first.served.url),
    })
    const pairing = JSON.parse(body) as { url: string; modules: boolean[][] }
    expect(pairing.url).toBe(first.served.pairingUrl)
    expect(pairing.modules.length).toBe(pairing.modules[0]!.length)
  })
})
