// Keeps the arrows between the parts pointing one way. Reads every import of packages/*/src and apps/*/src.
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { builtinModules } from 'node:module'
import { dirname, join, relative, resolve, sep } from 'node:path'
import process from 'node:process'
import { isMain, listFiles, root, runMain } from './workspace.mjs'

/** @typedef {{ file: string, line: number, specifier: string, target?: string }} Import target: the file it leads to, if ours */
/** @typedef {{ file: string, line: number, message: string }} Problem file relative to the folder checked */

/** Which of our packages each may import. An app may import any package but the command line, none imports an app. */
const packageArrows = /** @type {Readonly<Record<string, readonly string[]>>} */ ({
  core: [],
  scan: ['core'],
  phantom: ['core'],
  handover: ['core'],
  viewer: ['core', 'scan', 'handover'],
  cli: ['core', 'scan', 'phantom', 'handover'],
})
const appArrows = ['core', 'scan', 'phantom', 'handover', 'viewer']

/** Which folders each folder of the core may import: space <- volume, mesh-file <- the parts <- plan <- assess <- explore. */
const parts = ['mesh-file', 'fixture', 'bone', 'crown', 'clearance', 'graft']
const coreArrows = /** @type {Readonly<Record<string, readonly string[]>>} */ ({
  space: [],
  volume: ['space'],
  'mesh-file': ['space'],
  fixture: ['space', 'volume'],
  // The one arrow between parts: a bone margin is measured round a fixture.
  bone: ['space', 'volume', 'fixture'],
  crown: ['space', 'volume', 'mesh-file'],
  clearance: ['space', 'volume'],
  // A graft fills up to bone round a fixture, on sides that are named by the tooth.
  graft: ['space', 'volume', 'fixture', 'bone', 'crown'],
  plan: ['space', 'volume', ...parts],
  assess: ['space', 'volume', ...parts, 'plan'],
  explore: ['space', 'volume', ...parts, 'plan', 'assess'],
})

/** Libraries that only some places may touch, so that they can be replaced in one place. */
const owners = /** @type {readonly { library: RegExp, places: readonly RegExp[], says: string }[]} */ ([
  { library: /^(itk-wasm|@itk-wasm\/)/, places: [/^packages\/scan\//], says: 'only by packages/scan' },
  { library: /^@kitware\/vtk\.js/, places: [/^packages\/viewer\//], says: 'only by packages/viewer' },
  {
    library: /^(lit|@lit|lit-html|lit-element)(\/|$)/,
    places: [/^packages\/viewer\//, /^apps\//],
    says: 'only by packages/viewer and apps',
  },
  {
    library: /^gl-matrix(\/|$)/,
    places: [/^packages\/core\/src\/space\//, /^packages\/(?!core\/)/, /^apps\//],
    says: 'inside the core only by src/space',
  },
  {
    library: /^ndarray(\/|$)/,
    places: [/^packages\/core\/src\/ndarray\.ts$/, /^packages\/(?!core\/)/],
    says: 'inside the core only by src/ndarray.ts',
  },
  {
    library: /^(fflate|saxes)(\/|$)/,
    places: [/^packages\/core\/src\/mesh-file\//, /^packages\/(?!core\/)/, /^apps\//],
    says: 'inside the core only by src/mesh-file',
  },
])
const coreLibraries = ['gl-matrix', 'ndarray', 'fflate', 'saxes']

const isNodeOnly = (/** @type {string} */ specifier) =>
  specifier.startsWith('node:') ||
  builtinModules.includes(specifier) ||
  /^@alveometer\/[^/]+\/node$/.test(specifier)
const packageOf = (/** @type {string} */ specifier) =>
  specifier.split('/', specifier.startsWith('@') ? 2 : 1).join('/')

/** The source file a relative import leads to: `./x.js` is written, `./x.ts` is meant. */
function sourceOf(/** @type {string} */ from, /** @type {string} */ specifier) {
  const path = resolve(dirname(from), specifier.replace(/[?#].*$/, ''))
  const stem = path.replace(/\.(m?)js$/, '')
  const tries = [path, `${stem}.ts`, `${stem}.mts`, `${stem}.tsx`, `${path}.ts`, join(path, 'index.ts')]
  return tries.find((file) => /\.\w+$/.test(file) && existsSync(file)) ?? path
}

/**
 * Every import, re-export, dynamic import and `new URL(..., import.meta.url)` of a file.
 * @param {typeof import('typescript')} ts
 * @param {string} file
 * @returns {Import[]}
 */
function importsOf(ts, file) {
  const text = readFileSync(file, 'utf8')
  const lineAt = (/** @type {number} */ at) => text.slice(0, at).split('\n').length
  const found = ts
    .preProcessFile(text, true, true)
    .importedFiles.map(({ fileName, pos }) => ({ specifier: fileName, pos }))
  for (const match of text.matchAll(/new URL\(\s*'(\.[^']+)',\s*import\.meta\.url/g)) {
    found.push({ specifier: match[1] ?? '', pos: match.index })
  }
  return found.map(({ specifier, pos }) => ({
    file,
    line: lineAt(pos),
    specifier,
    ...(specifier.startsWith('.') ? { target: sourceOf(file, specifier) } : {}),
  }))
}

/**
 * What is wrong with one import, in words; undefined where it is in order.
 * @param {Import} it
 * @param {{ kind: string, name: string, source: string, dependencies: readonly string[] }} owner the package or app it stands in
 * @param {string} place the file, relative to the repository, with forward slashes
 */
function judge({ file, specifier, target }, owner, place) {
  if (target) {
    if (!target.startsWith(owner.source + sep)) return `'${specifier}' leaves the src folder of ${owner.name}`
    if (owner.kind !== 'packages' || owner.name !== 'core') return undefined
    const folder = (/** @type {string} */ path) => relative(owner.source, path).split(sep)
    const [from = '', ...fromRest] = folder(file)
    const [to = '', ...toRest] = folder(target)
    if (fromRest.length === 0 || from === to) return undefined
    if (toRest.length === 0)
      return `core/${from} imports '${specifier}', which gathers all folders: import the folder's own index`
    const allowed = coreArrows[from]
    if (!allowed)
      return `core/${from} is not in the table of scripts/boundaries.mjs: say there what it may import`
    if (allowed.includes(to)) return undefined
    return `core/${from} must not import core/${to} ('${specifier}'); it may import ${allowed.join(', ') || 'no other folder'}`
  }
  const library = packageOf(specifier)
  if (library === `@alveometer/${owner.name}`)
    return `'${specifier}' is its own package: use a relative import`
  if (/^(@alveometer\/|alveometer$)/.test(library)) {
    const to = library === 'alveometer' ? 'cli' : library.slice('@alveometer/'.length)
    const allowed = owner.kind === 'apps' ? appArrows : packageArrows[owner.name]
    if (!allowed)
      return `${owner.name} is not in the table of scripts/boundaries.mjs: say there what it may import`
    if (!allowed.includes(to)) {
      return `${owner.kind}/${owner.name} must not import packages/${to} ('${specifier}'); it may import ${allowed.join(', ') || 'no other package'}`
    }
  }
  const rule = owners.find(({ library }) => library.test(specifier))
  if (rule && !rule.places.some((pattern) => pattern.test(place)))
    return `'${specifier}' may be imported ${rule.says}`
  if (isNodeOnly(specifier) && !specifier.startsWith('@')) {
    return owner.name === 'core' && owner.kind === 'packages'
      ? `the core must run without Node: '${specifier}'`
      : undefined
  }
  if (owner.name === 'core' && owner.kind === 'packages' && !coreLibraries.includes(library)) {
    return `the core may only use ${coreLibraries.join(', ')}, not '${specifier}'`
  }
  if (!owner.dependencies.includes(library)) {
    return `'${library}' is not among the dependencies of ${owner.kind}/${owner.name}/package.json`
  }
  return undefined
}

/**
 * Circles of imports between files, each once, as the chain of imports that closes it.
 * @param {ReadonlyMap<string, readonly Import[]>} imports by file
 */
function findCircles(imports) {
  /** @type {Import[][]} */
  const circles = []
  /** @type {Set<string>} */
  const done = new Set()
  /** @type {Import[]} */
  const chain = []
  const visit = (/** @type {string} */ file) => {
    for (const it of imports.get(file) ?? []) {
      if (!it.target || it.target === file || !imports.has(it.target) || done.has(it.target)) continue
      chain.push(it)
      const start = chain.findIndex((earlier) => earlier.file === it.target)
      if (start >= 0) circles.push(chain.slice(start))
      else visit(it.target)
      chain.pop()
    }
    done.add(file)
  }
  for (const file of imports.keys()) if (!done.has(file)) visit(file)
  return circles
}

/**
 * The shortest chain of imports from a file to something only Node has, or undefined.
 * @param {ReadonlyMap<string, readonly Import[]>} imports
 * @param {string} entry
 */
function wayToNode(imports, entry) {
  /** @type {Import[][]} */
  const ways = [[]]
  const seen = new Set([entry])
  for (let way = ways.shift(); way; way = ways.shift()) {
    for (const it of imports.get(way.at(-1)?.target ?? entry) ?? []) {
      if (isNodeOnly(it.specifier)) return [...way, it]
      if (!it.target || seen.has(it.target)) continue
      seen.add(it.target)
      ways.push([...way, it])
    }
  }
  return undefined
}

/** Packages and apps: where they stand and what they say they depend on. */
function* owned(/** @type {string} */ base) {
  for (const kind of ['packages', 'apps']) {
    if (!existsSync(join(base, kind))) continue
    for (const name of readdirSync(join(base, kind))) {
      const folder = join(base, kind, name)
      const source = join(folder, 'src')
      if (!existsSync(source)) continue
      const manifest = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'))
      const dependencies = Object.keys({ ...manifest.dependencies, ...manifest.peerDependencies })
      yield { kind, name, folder, source, dependencies }
    }
  }
}

/**
 * Checks the repository that stands in a folder.
 * @param {string} [base]
 * @returns {Promise<{ files: number, problems: Problem[] }>}
 */
export async function checkBoundaries(base = root) {
  const { default: ts } = await import('typescript')
  const place = (/** @type {string} */ file) => relative(base, file).split(sep).join('/')
  /** @type {Problem[]} */
  const problems = []
  const report = (/** @type {Import} */ { file, line }, /** @type {string} */ message) =>
    problems.push({ file: place(file), line, message })
  /** @type {Map<string, Import[]>} */
  const imports = new Map()
  for (const owner of owned(base)) {
    for (const file of listFiles(['.'], owner.source)) {
      if (!/\.[mc]?[jt]sx?$/.test(file)) continue
      imports.set(file, importsOf(ts, file))
      for (const it of imports.get(file) ?? []) {
        const message = judge(it, owner, place(file))
        if (message) report(it, message)
      }
    }
  }
  for (const circle of findCircles(imports)) {
    const [first] = circle
    if (!first) continue
    const way = circle.map((it) => `${place(it.file)}:${it.line}`).join(' -> ')
    report(first, `imports go round in a circle: ${way} -> ${place(first.file)}`)
  }
  for (const { kind, name, source } of owned(base)) {
    const way =
      kind === 'packages' && name !== 'cli' ? wayToNode(imports, join(source, 'index.ts')) : undefined
    const last = way?.at(-1)
    if (!way || !last) continue
    const chain = way.map((it) => `${place(it.file)}:${it.line}`).join(' -> ')
    report(last, `${name} must load in a browser, but its index reaches '${last.specifier}': ${chain}`)
  }
  return { files: imports.size, problems }
}

if (isMain(import.meta.url)) {
  await runMain(async () => {
    const { files, problems } = await checkBoundaries(resolve(process.argv[2] ?? root))
    for (const { file, line, message } of problems) console.error(`${file}:${line}: ${message}`)
    console.log(`Boundaries: ${files} files, ${problems.length} problems.`)
    return problems.length === 0 ? 0 : 1
  })
}
