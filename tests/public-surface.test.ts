import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import ts from 'typescript'
import { describe, expect, test } from 'vitest'

// What a user of the packages can import. A change here is a change for them: it is made on purpose
// (`npx vitest run -u tests/public-surface.test.ts`) or it is a mistake.

const packages = join(import.meta.dirname, '..', 'packages')

interface Entry {
  readonly name: string
  readonly specifier: string
  readonly source: string
}

/** The public entries of a package, from the `exports` of its package.json. */
function entries(name: string): Entry[] {
  const manifest: { exports?: Record<string, { 'alveometer-source'?: string }> } = JSON.parse(
    readFileSync(join(packages, name, 'package.json'), 'utf8'),
  )
  return Object.entries(manifest.exports ?? {}).flatMap(([path, conditions]) => {
    const source = conditions['alveometer-source']
    return source ? [{ name, specifier: path, source: join(packages, name, source) }] : []
  })
}

interface Surface {
  readonly values: string[]
  readonly types: string[]
}

const isExported = (node: ts.Statement): boolean =>
  ts.canHaveModifiers(node) &&
  (ts.getModifiers(node) ?? []).some((modifier) => modifier.kind === ts.SyntaxKind.ExportKeyword)

function addDeclaration(node: ts.Statement, into: Surface): void {
  if (!isExported(node)) return
  if (ts.isVariableStatement(node)) {
    into.values.push(...node.declarationList.declarations.map((declaration) => declaration.name.getText()))
  } else if (ts.isFunctionDeclaration(node) || ts.isClassDeclaration(node)) {
    into.values.push(node.name?.text ?? 'default')
  } else if (ts.isInterfaceDeclaration(node) || ts.isTypeAliasDeclaration(node)) {
    into.types.push(node.name.text)
  }
}

/** The names a barrel exports. Types are marked as such, because every file is compiled on its own. */
function surfaceOf(file: string): Surface {
  const source = ts.createSourceFile(file, readFileSync(file, 'utf8'), ts.ScriptTarget.ES2022, true)
  const surface: Surface = { values: [], types: [] }
  for (const node of source.statements) {
    if (ts.isExportAssignment(node)) surface.values.push('default')
    if (!ts.isExportDeclaration(node)) {
      addDeclaration(node, surface)
      continue
    }
    if (!node.exportClause) throw new Error(`${file} says export *: name the exports one by one.`)
    const elements = ts.isNamedExports(node.exportClause) ? node.exportClause.elements : [node.exportClause]
    for (const element of elements) {
      const isType = node.isTypeOnly || (ts.isExportSpecifier(element) && element.isTypeOnly)
      ;(isType ? surface.types : surface.values).push(element.name.text)
    }
  }
  return { values: surface.values.sort(), types: surface.types.sort() }
}

const names = readdirSync(packages).filter((name) => existsSync(join(packages, name, 'package.json')))

describe.each(names)('%s', (name) => {
  test('exports what is written down', async () => {
    const text = entries(name).map(({ specifier, source }) => {
      const { values, types } = surfaceOf(source)
      return [
        `entry ${specifier}`,
        ...values.map((value) => `  value ${value}`),
        ...types.map((type) => `  type  ${type}`),
      ].join('\n')
    })
    await expect(`${text.join('\n\n')}\n`).toMatchFileSnapshot(`public-surface/${name}.txt`)
  })
})

test('what the barrel of the core names is what a program gets', async () => {
  const { values } = surfaceOf(join(packages, 'core/src/index.ts'))
  expect(Object.keys(await import('@alveometer/core')).sort()).toEqual(values)
})
