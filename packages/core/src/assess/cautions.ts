/** Shown on screen and written into every export. Sources: clinical guidance on cone-beam imaging of implant sites. */
export const CAUTIONS: readonly string[] = [
  'Planning and teaching aid, not a medical device. Licensed judgement and local rules decide.',
  'The clinician is responsible for the plan and its execution; have the whole volume reported by someone qualified.',
  'Grey values of cone-beam scans are not Hounsfield units.',
  'Plates thinner than about 1 mm and places near metal are unreliable; motion and artefacts void the numbers.',
  'Cone-beam thickness agreed with dissection within -0.32 to +0.38 mm (95 %, Timock 2011, AJODO 140:734); intervals shown here cover the reading of the voxels only.',
  'Check side (left and right) and scale against the patient before use.',
  'Keep 2 mm from the nerve canal (Fokas 2018, COIR 29(Suppl 16):393) unless you decide otherwise.',
  'The fixture is generic. Proposed position, not a drilling instruction.',
  'The plan assumes that the scan still shows the present anatomy.',
]
