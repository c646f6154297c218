import { css } from 'lit'

/** Columns beside each other; below 632 pixels they are swiped under a glance at all of them. */
export const waysStyle = css`
  :host {
    display: block;
    min-width: 0;
    container-type: inline-size;
  }
  .title {
    display: flex;
    gap: 0.75rem;
    align-items: baseline;
    min-height: 1.6rem;
  }
  .title h2 {
    margin: 0;
  }
  :host([stale]) .measured {
    opacity: 0.45;
  }
  .strip {
    overflow-x: auto;
    scrollbar-width: thin;
    scroll-snap-type: x proximity;
    scroll-padding-left: 4.6rem;
  }
  table {
    /* Collapsed borders do not stay with cells that do. */
    border-collapse: separate;
    border-spacing: 0;
    table-layout: fixed;
    min-width: 39.5rem;
  }
  caption,
  .hidden {
    position: absolute;
    width: 1px;
    height: 1px;
    overflow: hidden;
    clip-path: inset(50%);
    white-space: nowrap;
  }
  th,
  td,
  th:last-child,
  td:last-child {
    text-align: left;
    vertical-align: top;
    white-space: normal;
    padding: 0.2rem 0.35rem 0.2rem 0.2rem;
    scroll-snap-align: start;
    overflow-wrap: break-word;
    hyphens: manual;
  }
  tr > :first-child {
    position: sticky;
    left: 0;
    z-index: 1;
    width: 4.6rem;
    background: var(--sheet);
    padding-left: 0;
    scroll-snap-align: none;
  }
  tbody th {
    font-size: var(--small);
    color: var(--ink-2);
  }
  thead th {
    vertical-align: bottom;
    color: var(--ink);
    border-bottom: 2px solid var(--frame);
  }
  thead td {
    border-bottom: 2px solid var(--frame);
  }
  thead th.adopted {
    border-bottom: 5px double var(--frame);
  }
  th.present,
  tbody td:nth-child(2) {
    color: var(--ink-2);
  }
  .way {
    display: block;
    font-size: var(--text);
    font-weight: 600;
    white-space: nowrap;
  }
  .way.with,
  .present .way {
    font-weight: 400;
  }
  .verdict {
    display: inline-flex;
    gap: 0.25rem;
    align-items: center;
    margin-top: 0.15rem;
    font-size: var(--text);
    font-weight: 600;
  }
  .verdict.missing,
  td .below {
    color: var(--below);
  }
  .mark {
    flex: none;
    width: 0.875rem;
    height: 0.875rem;
    fill: none;
    stroke: currentcolor;
    stroke-width: 1.4;
  }
  .mark .half {
    fill: currentcolor;
    stroke: none;
  }
  .pictures td {
    padding: 0.3rem 0.35rem 0.3rem 0.1rem;
  }
  .number {
    font-size: var(--large);
    font-weight: 600;
    line-height: 1.15;
    white-space: nowrap;
  }
  .low::after {
    content: '\u00a0▾';
  }
  .second {
    display: block;
    font-size: var(--small);
    color: var(--ink-2);
  }
  .second.below {
    color: var(--below);
  }
  .unit {
    white-space: nowrap;
  }
  .prices td,
  .prices th {
    padding-bottom: 0.35rem;
  }
  .limits {
    margin: 0;
    padding: 0;
    list-style: none;
  }
  .limits li + li {
    margin-top: 0.2rem;
  }
  .limits.missing {
    font-weight: 600;
  }
  .limits .second {
    font-weight: 400;
    font-size: var(--text);
  }
  .buttons th,
  .buttons td {
    border-bottom: 0;
    padding-top: 0.4rem;
  }
  .buttons button {
    min-height: 2.1rem;
    padding: 0.15rem 0.6rem;
  }
  .adopt {
    border-color: var(--hand);
    color: var(--hand);
  }
  .adopt:hover:not(:disabled) {
    background: var(--hand);
    color: var(--panel);
  }
  .taken {
    display: block;
    margin-bottom: 0.2rem;
    font-weight: 600;
  }
  .taken::before {
    content: '✓ ';
  }
  .told {
    margin: 0.4rem 0;
  }
  .told > div {
    display: grid;
    grid-template-columns: 11rem 1fr;
    gap: 0 0.75rem;
    padding: 0.25rem 0;
    border-bottom: 1px solid var(--rule);
  }
  .told dt {
    color: var(--ink-2);
  }
  .told dd {
    margin: 0;
  }
  .told .missing dd {
    border-left: 4px solid var(--below);
    padding-left: 0.5rem;
  }
  summary {
    cursor: pointer;
    font-size: var(--small);
    color: var(--ink-2);
    padding: 0.3rem 0;
  }
  details ul,
  details p {
    margin: 0 0 0.3rem;
    padding-left: 1.1rem;
    font-size: var(--small);
    color: var(--ink-2);
  }
  details p {
    padding: 0;
  }
  .glance {
    display: none;
    margin: 0.2rem 0 0.6rem;
    padding: 0;
    list-style: none;
    border-top: 1px solid var(--frame);
  }
  .glance button {
    display: block;
    width: 100%;
    min-height: 2.75rem;
    padding: 0.3rem 0;
    border: 0;
    border-bottom: 1px solid var(--rule);
    border-radius: 0;
    background: none;
    text-align: left;
  }
  .glance button:hover:not(:disabled) {
    background: none;
    color: inherit;
    text-decoration: underline;
    text-underline-offset: 3px;
  }
  .glance .line {
    display: flex;
    justify-content: space-between;
    gap: 0.5rem;
  }
  .glance .second {
    display: inline;
  }
  .glance .below {
    color: var(--below);
  }
  @container (max-width: 631px) {
    .glance {
      display: block;
    }
    table {
      min-width: 43rem;
    }
    .told > div {
      grid-template-columns: 1fr;
    }
    .told dt {
      font-weight: 600;
    }
  }
  @media print {
    :host {
      container-type: normal;
    }
    .strip {
      overflow: visible;
    }
    table {
      min-width: 0;
    }
    .buttons {
      display: none;
    }
  }
`
