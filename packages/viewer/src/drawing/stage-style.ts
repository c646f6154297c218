import { css } from 'lit'

/** Room that the zoom buttons in the lower right corner take, pixels: from the right edge, and from the lower one. */
export const buttonRoom = 134
export const buttonTop = 84

/** The picture of a drawing: canvas below, lines above, buttons in a corner. */
export const stageStyle = css`
  :host {
    display: flex;
    flex-direction: column;
    min-height: 0;
    min-width: 0;
  }
  .stage {
    position: relative;
    flex: 1;
    min-height: 10rem;
    overflow: hidden;
    background: #606060;
    border: 1px solid var(--frame);
    touch-action: pan-x pan-y;
    user-select: none;
    -webkit-user-select: none;
  }
  :host([picking]) .stage {
    cursor: crosshair;
  }
  :host([picking]) .grip {
    pointer-events: none;
  }
  .stage:focus-within {
    touch-action: none;
  }
  canvas {
    position: absolute;
    inset: 0;
    width: 100%;
    height: 100%;
  }
  .zoom {
    position: absolute;
    right: 8px;
    bottom: 2.1rem;
    display: flex;
    gap: 4px;
  }
  .zoom button {
    min-width: 2rem;
    min-height: 2rem;
    padding: 0 0.4rem;
  }
  /* On paper the drawing keeps the shape it had on the screen: never stretched. */
  @media print {
    .stage {
      min-height: 0;
      print-color-adjust: exact;
      -webkit-print-color-adjust: exact;
    }
    canvas {
      object-fit: contain;
    }
    .zoom,
    .grip .mark,
    .grip .arc {
      display: none;
    }
  }
`
