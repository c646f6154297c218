import type { Mesh } from '../space/index.js'
import type { FileMesh } from './file-mesh.js'
import { MeshError } from './mesh-error.js'
import { readObj } from './obj.js'
import { readPly } from './ply.js'
import { isPly } from './ply-header.js'
import { binaryStlCount, isBinaryStl, readBinaryStl, readTextStl } from './stl.js'
import { read3mf } from './three-mf.js'
import { plainText } from './words.js'
import { isZip } from './zip.js'

/**
 * A triangle mesh from the bytes of an STL (binary or text), OBJ, PLY or 3MF file, in the file's own coordinates and
 * unit, as it stands there: `importMesh` also looks whether it is in order. The format is told by what the bytes are,
 * never by the name; polygons are cut into fans; stored normals are ignored: the winding tells inside from outside.
 * @throws MeshError naming the file, the place in it and the remedy.
 */
export function readMeshFile(bytes: Uint8Array, fileName: string): FileMesh {
  const file = readerOf(bytes, fileName)(bytes, fileName)
  if (file.mesh.triangles.length === 0)
    throw new MeshError(fileName, 'holds no triangles: export it again as STL, OBJ, PLY or 3MF')
  return file
}

/** The mesh of `readMeshFile` alone. Its unit is the file's, which a 3MF file names: `importMesh` gives millimetres. */
export const readMesh = (bytes: Uint8Array, fileName: string): Mesh => readMeshFile(bytes, fileName).mesh

/** So much of a text is looked through for the words that tell its format: comments may stand before them. */
const LOOKED_THROUGH = 2 ** 20

function readerOf(bytes: Uint8Array, fileName: string): (bytes: Uint8Array, fileName: string) => FileMesh {
  if (isZip(bytes)) return read3mf
  if (isPly(bytes)) return readPly
  if (isBinaryStl(bytes)) return readBinaryStl
  const text = plainText(bytes, 0, Math.min(bytes.length, LOOKED_THROUGH))
  if (/\bfacet\b/i.test(text) && /\bvertex\b/i.test(text)) return readTextStl
  if (/^[ \t]*v[ \t]/m.test(text)) return readObj
  if (/^(\xff\xfe|\xfe\xff)/.test(text))
    throw new MeshError(fileName, 'is text of two bytes a letter (UTF-16): save it as plain text (UTF-8)')
  const count = binaryStlCount(bytes)
  if (count !== undefined && text.includes('\0'))
    throw new MeshError(
      fileName,
      `is neither STL nor OBJ, PLY or 3MF. As binary STL it would be ${84 + 50 * count} bytes long (${count} triangles) but is ${bytes.length}: if it is one, it is cut short or damaged; copy it again`,
    )
  throw new MeshError(
    fileName,
    'is neither STL nor OBJ, PLY or 3MF, or is cut short: export it again in one of these formats',
  )
}
