import { css } from 'lit'

/** The numbers of the bone margin. */
export const marginStyle = css`
  .head {
    display: flex;
    justify-content: space-between;
    gap: 0.5rem;
  }
  .mode {
    font-weight: 400;
    letter-spacing: 0;
  }
  .pair {
    display: grid;
    grid-template-columns: 1fr 1fr;
    gap: 0.5rem;
    margin-bottom: 0.35rem;
  }
  .there {
    min-height: 1.5rem;
    padding: 0 0.4rem;
    font-size: var(--small);
  }
  .pair .big {
    font-size: calc(var(--text) + 0.1875rem);
    white-space: nowrap;
  }
  @media screen and (max-width: 1180px) {
    .pair .big {
      font-size: var(--text);
    }
  }
  .at,
  .part {
    display: flex;
    gap: 0.5rem;
    align-items: center;
    justify-content: space-between;
  }
  .part > span {
    min-width: 0;
  }
  .open {
    margin-top: 0.3rem;
    padding-left: 0.5rem;
    border-left: 4px solid var(--below);
  }
  td.below::after {
    content: ' ▾';
  }
  .thirds {
    font-size: var(--small);
  }
  .thirds .first {
    display: inline-block;
    min-width: 1.9rem;
    margin-right: 0.35rem;
  }
  .thirds .low .first {
    color: var(--below);
    font-weight: 600;
    text-decoration: underline;
    text-underline-offset: 2px;
  }
  summary {
    cursor: pointer;
    font-size: var(--small);
    color: var(--ink-2);
    padding: 0.2rem 0;
  }
  @media print {
    .why::details-content {
      content-visibility: visible;
    }
  }
`
