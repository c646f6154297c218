import { css } from 'lit'

/** Facts of one line each: name, value. */
export const factsStyle = css`
  dl {
    margin: 0.25rem 0 0;
  }
  dl > div {
    display: grid;
    grid-template-columns: 5.6rem 1fr;
    gap: 0.5rem;
    padding: 0.1rem 0;
    border-bottom: 1px solid var(--rule);
  }
  dt {
    font-size: var(--small);
    color: var(--ink-2);
    padding-top: 0.08rem;
  }
  dd {
    margin: 0;
    min-width: 0;
  }
  dd.low::after,
  dd .low::after {
    content: ' ▾';
  }
`
