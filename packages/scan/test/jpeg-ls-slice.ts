/**
 * Slice 11 of the chiral phantom (stored values, 12 of 16 bits, unsigned) as one JPEG-LS Lossless fragment.
 * Compressed by dcmcjpls of dcmtk 3.6.7.
 */
export const jpegLsSlice: Uint8Array = Uint8Array.from(
  atob(
    [
      '/9j/9wALEAAgACABAREA//gADQH//wASAEMBFABA/9oACAEBAAAAAP9/3gifAAAJQ3wAgBADzSS+AGAMAYAwBAMuqJL4BwAg',
      'AiANJJfAEkAUEl8AHlegHAOA4DgMNcSAXJL4ASV6AIBOAOAciS+AJK9AMoA4DlAJK9AaQCgOUAoDWAUBxJL4ApXoDaBAABl4',
      'BlVYCgbwFAxgKBvAUAFw8Bw8BmAoHcBQIAoAgFmAoHcBQB4WAIDMCg7gUGoIAVbKrapX4Akl0BlAoNYFBygcGaV+AUHOBwYp',
      'X4BEl0DpBCCKV+AQESXQOsGJJdAygmSXQNYFJLoFwCB/8P/Z',
    ].join(''),
  ),
  (c) => c.charCodeAt(0),
)
