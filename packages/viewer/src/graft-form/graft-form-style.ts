import { css } from 'lit'

/** Switches and choices of the graft, on one line with its numbers where there is room. */
export const graftFormStyle = css`
  .row {
    align-items: end;
  }
  .row > .fields {
    --field: 4.6rem;
    flex: 1 1 9rem;
  }
  .row > .fields.one {
    flex: 0 1 4.6rem;
  }
  .kinds button {
    min-height: 1.6rem;
    white-space: nowrap;
  }
  label.switch {
    display: inline-flex;
    gap: 0.3rem;
    align-items: center;
    min-height: 1.75rem;
    color: var(--hand);
    cursor: pointer;
  }
  label.switch input {
    accent-color: var(--hand);
    margin: 0;
  }
  .loss {
    display: flex;
    gap: 0.3rem;
    align-items: end;
  }
  .loss > .fields {
    --field: 3.4rem;
    width: 3.6rem;
  }
  .more {
    display: flex;
    flex: 1 1 100%;
    flex-wrap: wrap;
    gap: 0 0.9rem;
    align-items: center;
  }
  .more label.switch {
    min-height: 1.4rem;
  }
  .more > details[open] {
    flex: 1 1 100%;
  }
  @media print {
    label.switch {
      color: inherit;
      min-height: 0;
    }
    .row > .fields {
      --field: 3.6rem;
    }
  }
`
