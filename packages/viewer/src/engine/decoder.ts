import { browserDecoder, type LoadOptions } from '@alveometer/scan'

/** How compressed pixels are decoded: in workers of this worker, with code from the page's own origin. */
export const decoderAt = (assetsBaseUrl: string): Pick<LoadOptions, 'decoder'> => ({
  decoder: browserDecoder({ assetsBaseUrl }),
})
