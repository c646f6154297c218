import { css } from 'lit'

/** A drawing without a scan below it: ink on the sheet, the crown in grey. */
export const crownViewStyle = css`
  :host {
    --line: light-dark(#17181a, #ffffff);
    --casing: light-dark(rgb(253 252 249 / 0.82), rgb(0 0 0 / 0.72));
    --hand-line: light-dark(#0b57b0, #86c1ff);
    --below-line: light-dark(#a80f6b, #ff9ad6);
    --crown: light-dark(#f4f3ef, #a9a9a6);
  }
  .tools {
    display: flex;
    flex-wrap: wrap;
    gap: 0.25rem;
    padding-block-end: 0.25rem;
  }
  .stage {
    background: var(--panel);
  }
  canvas {
    inset: auto;
    width: auto;
    height: auto;
  }
  svg path.body {
    fill: var(--crown);
    stroke: none;
  }
  svg path.contour {
    stroke: var(--line);
    stroke-width: 0.7;
    opacity: 0.22;
    vector-effect: non-scaling-stroke;
  }
  svg path.rim {
    stroke: var(--line);
    stroke-width: 1.8;
    vector-effect: non-scaling-stroke;
  }
  path.fine {
    stroke-width: 1;
  }
  path.fine.below {
    stroke: var(--below-line);
  }
  path.far:not(.cas) {
    stroke-dasharray: 4 4;
    opacity: 0.75;
  }
  path.spot {
    stroke-width: 1.3;
  }
  .dot {
    fill: var(--line);
    stroke: var(--casing);
    stroke-width: 1;
  }
  .dot.below {
    fill: var(--below-line);
  }
  .dot.hollow {
    fill: var(--panel);
    stroke: var(--line);
  }
  .dot.hollow.below {
    stroke: var(--below-line);
  }
  .asked {
    fill: none;
    stroke: var(--hand-line);
    stroke-width: 2;
  }
  text.hand {
    fill: var(--hand-line);
  }
  .bore {
    stroke: var(--line);
    stroke-width: 1;
    opacity: 0.7;
  }
  .bore.below {
    stroke: var(--below-line);
    opacity: 1;
  }
  .grip .mark {
    fill: var(--casing);
  }
  /* A finger that scrolls the page over the drawing must not take the crown along: at first its handles alone do. */
  @media (pointer: coarse) {
    .stage:not(:focus-within) .grip path.area {
      pointer-events: none;
    }
  }
  :host([marking]) .stage {
    cursor: crosshair;
  }
  :host([marking]) .grip {
    pointer-events: none;
  }
  /* The lines keep the shape they had on the screen; the relief would not follow them. */
  @media print {
    canvas {
      display: none;
    }
  }
`
