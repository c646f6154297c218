import type { NeighbourPlace } from '../events.js'

/** The places on the neighbouring teeth that can be marked, with their names. */
export const gapPlaces: readonly { readonly place: NeighbourPlace; readonly name: string }[] = [
  { place: { side: 'mesial', mark: 'contact' }, name: 'mesial contact' },
  { place: { side: 'distal', mark: 'contact' }, name: 'distal contact' },
  { place: { side: 'mesial', mark: 'cej' }, name: "mesial tooth's CEJ" },
  { place: { side: 'distal', mark: 'cej' }, name: "distal tooth's CEJ" },
]

export const placeKey = ({ side, mark }: NeighbourPlace): string => `${side} ${mark}`

export const placeName = (place: NeighbourPlace): string =>
  gapPlaces.find((p) => placeKey(p.place) === placeKey(place))?.name ?? ''
