import { css } from 'lit'

/** The picture, its axes, its legend and what is read from it. */
export const chartStyle = css`
  :host {
    display: flex;
    flex-direction: column;
    min-height: 0;
    min-width: 0;
  }
  .title {
    display: flex;
    flex-wrap: wrap;
    gap: 0.25rem 0.75rem;
    align-items: center;
    min-height: 1.9rem;
  }
  .title h2 {
    margin: 0;
    white-space: nowrap;
  }
  .note-coarse {
    color: var(--ink-2);
    font-size: var(--small);
  }
  .title .choice {
    margin-left: auto;
  }
  p.printed {
    display: none;
  }
  .specs {
    display: flex;
    flex-wrap: wrap;
    gap: 0.25rem 1rem;
    justify-content: space-between;
    margin: 0.15rem 0 0.4rem;
  }
  .choice {
    display: flex;
    flex-wrap: wrap;
    gap: 0.1rem 0.4rem;
    align-items: center;
  }
  .tabs {
    display: flex;
    gap: 0.25rem;
  }
  .tabs button {
    min-height: 1.5rem;
    padding: 0.05rem 0.5rem;
    font-size: var(--small);
    white-space: nowrap;
  }
  @media (pointer: coarse) {
    .tabs button {
      min-height: 2.1rem;
    }
  }
  .drawing {
    position: relative;
    display: grid;
    flex: 1;
    grid-template: minmax(0, 1fr) 36px / 44px minmax(0, 1fr);
    min-height: 15rem;
    aspect-ratio: 1.75;
  }
  .plot {
    position: relative;
    grid-area: 1 / 2;
    overflow: hidden;
    border: 1px solid var(--frame);
    background: var(--panel);
    cursor: crosshair;
    user-select: none;
    -webkit-user-select: none;
    touch-action: pan-x pan-y;
    forced-color-adjust: none;
    print-color-adjust: exact;
    -webkit-print-color-adjust: exact;
  }
  .plot:focus {
    touch-action: none;
  }
  .plot canvas {
    position: absolute;
    inset: 0;
    width: 100%;
    height: 100%;
    image-rendering: pixelated;
  }
  .waiting {
    position: absolute;
    inset: auto 0 45%;
    text-align: center;
    font-size: var(--small);
    color: var(--ink-2);
  }
  svg.rows {
    position: static;
    grid-area: 1 / 1;
    overflow: visible;
  }
  svg.columns {
    position: static;
    grid-area: 2 / 2;
    overflow: visible;
  }
  .rows text,
  .columns text {
    fill: var(--ink);
    font-size: 12px;
  }
  .rows text.axis-name,
  .columns text.axis-name {
    fill: var(--ink-2);
  }
  .tick {
    stroke: var(--ink);
  }
  .shown {
    fill: #ffffff;
  }
  .broken {
    fill: #000000;
  }
  .lowline {
    stroke: var(--below-line);
    stroke-width: 1.1;
    opacity: 0.8;
  }
  path.noneline:not(.hatching) {
    stroke: var(--ink-2);
    stroke-width: 0.8;
  }
  path.upright {
    stroke-width: 0.9;
    stroke-dasharray: 14 3 2 3;
    opacity: 0.75;
  }
  path.zone {
    stroke-width: 1.8;
  }
  path.cas.zone {
    stroke-width: 4;
  }
  path.wanted {
    stroke-width: 2.6;
  }
  path.cas.wanted {
    stroke-width: 5;
  }
  path.bend,
  path.limit {
    stroke-width: 1.2;
    stroke-dasharray: 6 4;
  }
  path.limit {
    stroke-width: 2.4;
    stroke-dasharray: 9 5;
  }
  path.graft {
    stroke-width: 1.2;
    stroke-dasharray: 9 3 1.5 3 1.5 3;
  }
  path.cas.bend,
  path.cas.graft {
    stroke-width: 3;
  }
  path.cas.limit {
    stroke-width: 4.6;
  }
  text.note {
    font-size: 12px;
  }
  text.note.zone {
    font-size: 13px;
    font-weight: 700;
  }
  text.note.limit {
    font-weight: 700;
  }
  text.note.hand {
    fill: var(--hand-line);
    font-weight: 600;
  }
  path.ring {
    stroke-width: 2.4;
  }
  path.cas.ring {
    stroke-width: 5.4;
  }
  path.hair {
    stroke-width: 1.6;
  }
  path.cas.hair {
    stroke-width: 4;
  }
  path.head.hand:not(.cas) {
    fill: var(--hand-line);
    stroke: none;
  }
  .foot {
    margin: 0.3rem 0 0;
    font-size: var(--small);
  }
  .told {
    display: flex;
    flex-wrap: wrap;
    gap: 0 0.9rem;
    align-content: start;
    min-height: 2.8em;
    font-size: var(--text);
  }
  .told > span {
    white-space: nowrap;
  }
  .told .where {
    font-weight: 600;
  }
  .told .below::after {
    content: ' ▾';
  }
  .told.narrow {
    min-height: 5.5em;
  }
  .keys {
    display: flex;
    flex-wrap: wrap;
    gap: 0.15rem 0.8rem;
    margin-top: 0.25rem;
    color: var(--ink-2);
  }
  .key {
    display: inline-flex;
    gap: 0.3rem;
    align-items: center;
    white-space: nowrap;
  }
  svg.swatch {
    position: static;
    width: 26px;
    height: 12px;
    background: #4a5472;
    border: 1px solid var(--frame);
    forced-color-adjust: none;
    print-color-adjust: exact;
    -webkit-print-color-adjust: exact;
  }
  svg.swatch.none {
    background: rgb(128 128 128 / 0.28);
  }
  .ramp {
    position: relative;
    display: inline-block;
    width: 4.5rem;
    height: 0.75rem;
    border: 1px solid var(--frame);
    forced-color-adjust: none;
    print-color-adjust: exact;
    -webkit-print-color-adjust: exact;
  }
  .ramp canvas {
    display: block;
    width: 100%;
    height: 100%;
  }
  .limit-tick {
    stroke: #ffffff;
    stroke-width: 2px;
    vector-effect: non-scaling-stroke;
  }
  :host([stale]) canvas {
    opacity: 0.6;
  }
  @media print {
    .drawing {
      min-height: 0;
    }
    .specs,
    .choice {
      display: none;
    }
    p.printed {
      display: block;
    }
    .told,
    .told.narrow {
      min-height: 0;
    }
  }
  @media (forced-colors: active) {
    .rows text,
    .columns text {
      fill: CanvasText;
    }
    .tick {
      stroke: CanvasText;
    }
  }
`
