import { parseAst } from 'vite'

/** What each operator is changed into. */
const OPERATORS = {
  '+': '-',
  '-': '+',
  '*': '/',
  '/': '*',
  '**': '*',
  '<': '<=',
  '<=': '<',
  '>': '>=',
  '>=': '>',
  '===': '!==',
  '!==': '===',
  '&&': '||',
  '||': '&&',
  '??': '&&',
  '+=': '-=',
  '-=': '+=',
}

/**
 * Every change of one operator, constant or condition of a TypeScript file.
 *
 * @returns for each the whole changed source, what was changed into what, and where
 */
export function mutantsOf(path, source) {
  // The parser that vitest itself reads TypeScript with; the compiler's own has no stable interface.
  const program = parseAst(source, { lang: 'ts' }, path)
  const mutants = []
  const change = (start, end, to) => {
    const before = source.slice(0, start)
    const lineNumber = before.split('\n').length
    mutants.push({
      path,
      lineNumber,
      line: source.split('\n')[lineNumber - 1].trim(),
      from: source.slice(start, end),
      to,
      source: before + to + source.slice(end),
    })
  }
  visit(program, (node) => {
    if (node.operator in OPERATORS && node.left !== undefined) {
      const between = source.slice(node.left.end, node.right.start)
      const start = node.left.end + between.indexOf(node.operator)
      if (isText(node.left) || isText(node.right)) return
      change(start, start + node.operator.length, OPERATORS[node.operator])
    } else if (node.type === 'UnaryExpression' && ['!', '-'].includes(node.operator)) {
      change(node.start, node.argument.start, '')
    } else if (node.type === 'Literal' && typeof node.value === 'number') {
      change(node.start, node.end, node.value === 0 ? '1' : `(${source.slice(node.start, node.end)} * 1.5)`)
    } else if (node.type === 'IfStatement' || node.type === 'ConditionalExpression') {
      for (const to of ['true', 'false']) change(node.test.start, node.test.end, to)
    }
  })
  return mutants
}

/** Joined words are no arithmetic. */
function isText(node) {
  return node.type === 'TemplateLiteral' || (node.type === 'Literal' && typeof node.value === 'string')
}

/** Visits every node that makes something at run time; types do not. */
function visit(node, look) {
  if (Array.isArray(node)) {
    for (const one of node) visit(one, look)
    return
  }
  if (node === null || typeof node !== 'object' || typeof node.type !== 'string') return
  if (/^TS(?!NonNull|As|Satisfies)/.test(node.type) || node.type === 'ImportDeclaration') return
  look(node)
  for (const [name, child] of Object.entries(node)) if (name !== 'typeAnnotation') visit(child, look)
}
