import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { expect, test } from 'vitest'
import { DataError, sentence, way } from '../../../../src/errors/index.js'
import { sendError } from '../../../../src/page/server/http/answers.js'

test('an error reaches the browser with the place on the page, and without a command', async () => {
  const server = createServer((_, response) =>
    sendError(
      response,
      new DataError('no-table', 'There is no table.', sentence`Calibrate first${way('calibrate')}.`),
    ),
  )
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  try {
    const answer = await fetch(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`)
    expect(answer.status).toBe(422)
    expect(await answer.json()).toEqual({
      error: {
        code: 'no-table',
        message: 'There is no table.',
        hint: 'Calibrate first at "Measure".',
      },
    })
  } finally {
    server.close()
  }
})
