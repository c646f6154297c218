export { AlvSizeOffer } from './alv-size-offer.js'
