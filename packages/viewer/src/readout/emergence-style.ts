import { css } from 'lit'

/** The facts of depth and emergence with their drawing beside them. */
export const emergenceStyle = css`
  :host {
    container-type: inline-size;
    display: block;
  }
  .both {
    display: grid;
    grid-template-columns: minmax(0, 1fr) 6rem;
    gap: 0.35rem;
    align-items: center;
  }
  @container (max-width: 17rem) {
    .both {
      grid-template-columns: 1fr;
    }
    .emergence {
      width: 7.5rem;
    }
  }
  .both dl > div {
    grid-template-columns: 5.4rem 1fr;
    gap: 0.3rem;
  }
  .emergence {
    fill: none;
    stroke: var(--ink);
    stroke-width: 1;
  }
  .emergence .shape {
    stroke-width: 1.4;
  }
  .emergence .limit {
    stroke-dasharray: 4 3;
    stroke: var(--ink-2);
  }
  .emergence .spoke {
    stroke: var(--ink-2);
  }
  .emergence text {
    stroke: none;
    fill: var(--ink);
    font-size: 11px;
    text-anchor: middle;
  }
  .emergence text.side {
    fill: var(--ink-2);
    font-size: 10px;
    white-space: pre;
  }
  .emergence text.above {
    fill: var(--below);
    font-weight: 600;
    text-decoration: underline;
  }
`
