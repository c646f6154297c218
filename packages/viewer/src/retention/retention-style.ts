import { css } from 'lit'

/** Three ways in three rows, readable in one look. */
export const retentionStyle = css`
  th,
  td {
    text-align: left;
    vertical-align: top;
    white-space: normal;
  }
  thead th {
    border-bottom: 0;
    color: var(--ink);
  }
  .reason {
    margin-top: 0.25rem;
    font-size: var(--small);
    color: var(--ink-2);
  }
  .reason b {
    color: var(--ink);
    font-weight: 600;
  }
  .verdict {
    display: inline-flex;
    align-items: center;
    gap: 0.25rem;
    font-weight: 600;
  }
  .closed .verdict {
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
  .mark .full {
    fill: currentcolor;
  }
  summary {
    cursor: pointer;
    font-size: var(--small);
    color: var(--ink-2);
    padding: 0.2rem 0;
  }
  h3 {
    margin: 0.4rem 0 0.1rem;
    font-size: var(--small);
    font-weight: 600;
  }
  dl {
    margin: 0;
  }
  dl > div {
    display: grid;
    grid-template-columns: 3.6rem 1fr;
    gap: 0.4rem;
    padding: 0.12rem 0;
    border-bottom: 1px solid var(--rule);
    font-size: var(--small);
  }
  dt {
    color: var(--ink-2);
  }
  dd {
    margin: 0;
  }
`
