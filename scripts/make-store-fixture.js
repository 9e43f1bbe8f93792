// Makes fixtures/stores/v<N>.db, a small store of today's schema, through the program itself. Run it once for every
// new schema version, before the version after it is begun, and never again: node scripts/make-store-fixture.js
import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { bundled } from './bundled.js'

const root = fileURLToPath(new URL('..', import.meta.url))
const { fillGoldenStore, MIGRATIONS, openStore } = await bundled(`
  export { openStore } from './src/store/index.js'
  export { MIGRATIONS } from './src/store/migrations/index.js'
  export { fillGoldenStore } from './tests/store/golden-store.js'`)

const path = `${root}fixtures/stores/v${MIGRATIONS.length}.db`
if (existsSync(path)) throw new Error(`${path} is there already; a golden store is never made anew`)
const store = openStore(path, { mode: 'write' })
fillGoldenStore(store)
store.close()
