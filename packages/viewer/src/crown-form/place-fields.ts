import type { Plan } from '@alveometer/core'
import type { NumberField } from '../placement/number-fields.js'
import {
  crownOffsetMm,
  crownStandOf,
  hasCrownAxis,
  setCrownOffset,
  setCrownRotation,
  setCrownTilt,
} from '../session/index.js'

const offset = (axis: 0 | 1 | 2): Pick<NumberField, 'unit' | 'step' | 'value' | 'change'> => ({
  unit: 'mm',
  step: 0.1,
  value: (plan) => crownOffsetMm(plan)[axis],
  change: (plan, value) => {
    const now = crownOffsetMm(plan)
    now[axis] = value
    return setCrownOffset(plan, now)
  },
})

const axis = (value: (plan: Plan) => number) => (plan: Plan) => (hasCrownAxis(plan) ? value(plan) : null)

/** How the crown stands at its site: tilts and rotation against the site's own directions, place from the platform. */
export const placeFields: readonly NumberField[] = [
  {
    key: 'crown-tilt-facial',
    name: 'tilt facial',
    unit: '°',
    step: 0.5,
    help: "Angle between the crown's long axis and the site's vertical; positive when the incisal edge leans facially",
    value: axis((plan) => crownStandOf(plan).facialDeg),
    change: (plan, facialDeg) => setCrownTilt(plan, { facialDeg }),
  },
  {
    key: 'crown-tilt-mesial',
    name: 'tilt mesial',
    unit: '°',
    step: 0.5,
    help: 'Positive when the incisal edge leans mesially',
    value: axis((plan) => crownStandOf(plan).mesialDeg),
    change: (plan, mesialDeg) => setCrownTilt(plan, { mesialDeg }),
  },
  {
    key: 'crown-rotation',
    name: 'rotation',
    unit: '°',
    step: 1,
    help: "About the long axis, from the site's facial direction; positive when the facial face turns mesially",
    value: axis((plan) => crownStandOf(plan).rotationDeg),
    change: setCrownRotation,
  },
  {
    key: 'crown-facial',
    name: 'facial',
    help: "Cervical centre of the crown facial of the platform's centre",
    ...offset(0),
  },
  {
    key: 'crown-mesial',
    name: 'mesial',
    help: "Cervical centre of the crown mesial of the platform's centre",
    ...offset(1),
  },
  {
    key: 'crown-coronal',
    name: 'coronal',
    help: "Cervical centre of the crown coronal of the platform's centre",
    ...offset(2),
  },
]
