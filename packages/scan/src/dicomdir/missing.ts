import type { Dicomdir } from './dicomdir.js'

/**
 * The files that a DICOMDIR lists and the pick does not hold, as the DICOMDIR writes them. Names are compared as copies
 * of a disc change them: upper or lower case, ".dcm" added, the version ";1" of ISO 9660 kept or not, `\` for `/`.
 * @param dicomdirName its name in the pick, with its folders: references are relative to the folder it lies in.
 * @param names of the whole pick, with folders where they are known. Where the pick knows none, the last part of the
 * names is compared alone.
 */
export function missingFiles(dicomdir: Dicomdir, dicomdirName: string, names: readonly string[]): string[] {
  const folder = partsOf(dicomdirName).slice(0, -1)
  const inFolder = (parts: Parts) =>
    parts.length > folder.length && folder.every((part, i) => part === parts[i])
  const besideDicomdir = names
    .map(partsOf)
    .filter(inFolder)
    .map((parts) => parts.slice(folder.length))
  const listed = new Map(dicomdir.files.map(({ path }) => [keyOf(partsOf(path)), path]))
  return besideDicomdir.every((parts) => parts.length === 1)
    ? missingByLastPart([...listed.values()], besideDicomdir)
    : missingByPath(listed, besideDicomdir)
}

type Parts = readonly string[]

function missingByPath(listed: ReadonlyMap<string, string>, picked: readonly Parts[]): string[] {
  const present = new Set(picked.map(keyOf))
  return [...listed].flatMap(([key, path]) => (present.has(key) ? [] : [path]))
}

/** Files of one name in several folders are counted: each file of the pick stands for one of them. */
function missingByLastPart(listed: readonly string[], picked: readonly Parts[]): string[] {
  const left = new Map<string, number>()
  for (const parts of picked) left.set(keyOf(parts), (left.get(keyOf(parts)) ?? 0) + 1)
  return listed.filter((path) => {
    const key = keyOf(partsOf(path).slice(-1))
    const count = left.get(key) ?? 0
    left.set(key, count - 1)
    return count < 1
  })
}

const keyOf = (parts: Parts): string => parts.join('/')

/** Folders and file name, without what a copy may change. */
function partsOf(name: string): string[] {
  const parts = name.normalize('NFC').toLowerCase().split(/[\\/]/)
  const named = parts.filter((part) => part !== '' && part !== '.')
  return named.map((part, i) =>
    i < named.length - 1 ? part : part.replace(/;\d+$/, '').replace(/\.(dcm)?$/, ''),
  )
}
