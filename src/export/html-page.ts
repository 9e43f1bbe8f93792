import { escapeHtml } from './escape-html.js'

/** A page to print: title and style, then the body, which is markup already. No script, nothing from outside. */
export function htmlPage(title: string, style: string, body: string): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escapeHtml(title)}</title>
<style>${style}</style>
</head>
<body>
${body}
</body>
</html>
`
}
