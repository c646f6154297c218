import { css } from 'lit'

/** The graft: what it comes to, and the margins before and after it side by side. */
export const graftStyle = css`
  .amount {
    display: flex;
    flex-wrap: wrap;
    gap: 0 0.6rem;
    align-items: baseline;
  }
  .amount .big {
    font-size: calc(var(--text) + 0.1875rem);
    white-space: nowrap;
  }
  .wanted {
    display: flex;
    gap: 0.5rem;
    align-items: center;
    justify-content: space-between;
  }
  .wanted button {
    flex: none;
    min-height: 1.5rem;
    padding: 0 0.4rem;
    font-size: var(--small);
  }
  .change {
    margin-top: 0.3rem;
  }
  .change th,
  .change td {
    padding-right: 0.35rem;
  }
  .change th {
    white-space: normal;
  }
  .change th[scope='row'] {
    font-size: var(--small);
    color: var(--ink-2);
  }
  .change td:last-child,
  .change th:last-child {
    padding-right: 0;
  }
  @media screen and (max-width: 1180px) {
    .change {
      font-size: var(--small);
    }
    .change th,
    .change td {
      padding-right: 0.2rem;
    }
    .change .tolerance {
      font-size: 0.6875rem;
    }
  }
  .change .tolerance {
    display: block;
    line-height: 1;
  }
  .change td.below::after {
    content: none;
  }
  .change td.below .value {
    font-weight: 600;
    text-decoration: underline;
    text-underline-offset: 2px;
  }
  .notes {
    margin-top: 0.3rem;
    padding-left: 0.5rem;
    border-left: 4px solid var(--below);
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
  .why {
    font-size: var(--small);
  }
  ul {
    margin: 0;
    padding-left: 1rem;
  }
`
