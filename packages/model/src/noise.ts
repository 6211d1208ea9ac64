/** Factor by which the signal grows at a gain in decibels: 10^(dB/20); 6.02 dB double it. */
export const signalFactor = (gainDecibels: number): number => 10 ** (gainDecibels / 20);

/** Stops of a gain in decibels: one stop is 20·log10(2) = 6.02 dB. */
export const gainStops = (gainDecibels: number): number => gainDecibels / (20 * Math.log10(2));

/** Stops from one ISO value to another. Two cameras' ISO values do not compare their noise (practice, no source). */
export const isoStops = (from: number, to: number): number => Math.log2(to / from);

/**
 * Signal to noise of a patch that collected `electrons`, with `readNoise` electrons of noise from reading:
 * N/√(N + r²), photon noise being the root of the count.
 */
export const signalToNoise = (electrons: number, readNoise = 0): number =>
  electrons / Math.sqrt(electrons + readNoise ** 2);

/** A signal to noise ratio in decibels: 20·log10. */
export const ratioDecibels = (ratio: number): number => 20 * Math.log10(ratio);

/**
 * Decibels of signal to noise lost to photon noise from one ISO to a higher one at equal brightness: 10·log10(b/a),
 * 3.01 dB a stop. It says nothing of the noise of reading, which gain lifts as well.
 */
export const photonNoiseLossDecibels = (from: number, to: number): number => 10 * Math.log10(to / from);
