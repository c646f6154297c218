import { browserDecoder, browserVolumeFileReader, type LoadOptions } from '@alveometer/scan'

/** How pixels are decoded: in workers of this worker, with code from the page's own origin. */
export const decoderAt = (assetsBaseUrl: string): Pick<LoadOptions, 'decoder' | 'volumeFileReader'> => ({
  decoder: browserDecoder({ assetsBaseUrl }),
  volumeFileReader: browserVolumeFileReader({ assetsBaseUrl }),
})
