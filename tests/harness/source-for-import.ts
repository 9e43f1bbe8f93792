import { registerHooks } from 'node:module'

/**
 * Lets Node load the sources as they are: an import names the JavaScript that a build would make (`./mean.js`), and what
 * is there is its source (`./mean.ts`). Node leaves out the types itself, which takes a third of the time that it takes
 * Vite to make modules of its own from them. Node is told where the source is and what it holds, because to find that out
 * it would look through folders for each of a thousand imports, an eighth of the time that loading them takes.
 */
registerHooks({
  resolve(specifier, context, next) {
    const { parentURL = '' } = context
    const isOurs = /^\.{1,2}\/.*\.js$/.test(specifier) && /\.ts(?:\?|$)/.test(parentURL)
    if (!isOurs) return next(specifier, context)
    const { href: url } = new URL(specifier.replace(/\.js$/, '.ts'), parentURL)
    return { url, format: 'module-typescript', shortCircuit: true }
  },
})
