/** An SVG document as a part of a page: without the line that names it XML. */
export function inlineSvg(svg: string): string {
  return svg.replace(/^<\?xml[^>]*>\s*/, '')
}
