/** Which way an arrow key points on the picture: columns to the right, rows down. */
export const arrowKeys: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
}

/** How far one press moves what has the focus. */
export const arrowStepMm = 0.1
