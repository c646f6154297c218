/** A file with the folders it was dropped with. */
export interface DroppedFile {
  readonly file: File
  readonly path: string
}

/**
 * Everything in a drop, folders included. The entries have to be taken in the event itself: the list is emptied after it.
 */
export async function droppedFiles(transfer: DataTransfer): Promise<DroppedFile[]> {
  const entries = [...transfer.items].map((item) => item.webkitGetAsEntry?.() ?? null)
  const loose = [...transfer.files]
  if (entries.every((entry) => entry === null)) return loose.map((file) => ({ file, path: file.name }))
  const found = await Promise.all(entries.map((entry) => (entry === null ? [] : walk(entry))))
  return found.flat()
}

async function walk(entry: FileSystemEntry): Promise<DroppedFile[]> {
  const path = entry.fullPath.replace(/^\//, '')
  if (isFile(entry)) return [{ path, file: await new Promise<File>((done, fail) => entry.file(done, fail)) }]
  if (!isFolder(entry)) return []
  const found: DroppedFile[] = []
  for (const child of await children(entry)) found.push(...(await walk(child)))
  return found
}

/** A reader hands out at most about a hundred entries a call; the list is complete when it hands out none. */
async function children(folder: FileSystemDirectoryEntry): Promise<FileSystemEntry[]> {
  const reader = folder.createReader()
  const all: FileSystemEntry[] = []
  for (;;) {
    const some = await new Promise<FileSystemEntry[]>((done, fail) => reader.readEntries(done, fail))
    if (some.length === 0) return all
    all.push(...some)
  }
}

const isFile = (entry: FileSystemEntry): entry is FileSystemFileEntry => entry.isFile
const isFolder = (entry: FileSystemEntry): entry is FileSystemDirectoryEntry => entry.isDirectory
