import { css } from 'lit'

/** The sheet while the decision stands beside the section. */
export const decidingStyle = css`
  main.deciding {
    grid-template: minmax(0, 1fr) auto / minmax(0, 1fr) minmax(0, 1.12fr);
    grid-template-areas: 'section decide' 'place decide';
  }
  .decide {
    grid-area: decide;
  }
  main.deciding :is(.top, .map, .numbers) {
    display: none;
  }
  @media screen and (max-width: 1180px) {
    main.deciding {
      grid-template-columns: minmax(0, 1.02fr) minmax(0, 1fr);
    }
  }
  @media screen and (max-width: 760px) {
    main.deciding {
      display: block;
    }
    main.deciding .strip {
      display: block;
      overflow: visible;
    }
    main.deciding .strip > * {
      height: auto;
      overflow: visible;
    }
    main.deciding .place {
      margin-top: 0.75rem;
    }
  }
  @media print {
    main.deciding,
    main.deciding .strip {
      display: block;
    }
    main.deciding .section {
      height: 95mm;
    }
  }
`
