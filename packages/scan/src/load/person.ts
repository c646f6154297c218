import { decodeName, decodeText, displayName, type SliceHeader } from '../headers/index.js'

/** Whose scan it is, to tell scans apart on screen. Never kept with a plan and never exported. */
export interface Person {
  readonly name: string
  readonly id: string
  readonly birthDate: string
}

export function personOf(header: SliceHeader | undefined): Person {
  if (!header) return { name: '', id: '', birthDate: '' }
  const { name, id, birthDate, characterSet } = header.patient
  return { name: displayName(decodeName(name, characterSet)), id: decodeText(id, characterSet), birthDate }
}
