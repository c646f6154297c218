/** What a tooth looks like, in millimetres. Widths are full widths. */
export interface ToothShape {
  readonly crownMm: number
  readonly rootMm: number
  /** Mesiodistal width at the contact and at the neck. */
  readonly width: number
  readonly neckWidth: number
  /** Facial-palatal depth of the crown and at the neck. */
  readonly deep: number
  readonly neckDeep: number
  /** 'incisor' ends in an edge, 'canine' in a tip, 'premolar' in two cusps (a molar too: its second pair lies outside). */
  readonly kind: 'incisor' | 'canine' | 'premolar'
}

/** Round figures from general dental anatomy, not from any one tooth. */
export const toothShapes = {
  central: { crownMm: 10.5, rootMm: 13, width: 8.4, neckWidth: 6.6, deep: 7, neckDeep: 6.2, kind: 'incisor' },
  lateral: {
    crownMm: 9.2,
    rootMm: 13,
    width: 6.5,
    neckWidth: 4.9,
    deep: 6.1,
    neckDeep: 5.6,
    kind: 'incisor',
  },
  canine: { crownMm: 10.2, rootMm: 16.5, width: 7.6, neckWidth: 5.6, deep: 8, neckDeep: 7.2, kind: 'canine' },
  firstPremolar: {
    crownMm: 8.5,
    rootMm: 13.5,
    width: 7,
    neckWidth: 4.9,
    deep: 9,
    neckDeep: 8,
    kind: 'premolar',
  },
  secondPremolar: {
    crownMm: 8.2,
    rootMm: 13.5,
    width: 6.8,
    neckWidth: 4.8,
    deep: 9,
    neckDeep: 8,
    kind: 'premolar',
  },
  // Only its mesial edge comes into the field; seen from there one trunk stands for three roots.
  firstMolar: {
    crownMm: 7.6,
    rootMm: 12,
    width: 10,
    neckWidth: 7.8,
    deep: 10.8,
    neckDeep: 9.6,
    kind: 'premolar',
  },
} as const satisfies Readonly<Record<string, ToothShape>>
