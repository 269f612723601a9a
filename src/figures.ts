/** Closer than this to a half (as a share of the scaled value), only the decimal text can tell up from down. */
const DOUBT = 1e-12;

/**
 * A number rounded to `decimals` places, halves away from zero.
 *
 * What counts is the number as it is printed: 1.005 gives 1.01, although the double behind it is a
 * little less. The result is the double nearest to the rounded decimal, and never −0.
 *
 * @param value any number; NaN and the infinities come back as they are
 * @param decimals places after the point, 0 to 15
 */
export function rounded(value: number, decimals: number): number {
  const scale = 10 ** decimals;
  const scaled = Math.abs(value) * scale;
  // From here up, halves have no double of their own: the value has no more places than were asked for.
  if (!(scaled < 2 ** 52)) return value;
  const whole = Math.floor(scaled);
  const beyondHalf = scaled - whole - 0.5;
  const up =
    Math.abs(beyondHalf) > DOUBT * Math.max(1, scaled)
      ? beyondHalf > 0
      : shifted(Math.abs(value), decimals) >= whole + 0.5;
  const size = (up ? whole + 1 : whole) / scale;
  return value < 0 && size !== 0 ? -size : size;
}

/** The value with its decimal point moved to the right in the printed digits, free of binary rounding. */
function shifted(value: number, places: number): number {
  const [digits, exponent = '0'] = String(value).split('e');
  return Number(`${digits}e${Number(exponent) + places}`);
}

/**
 * A number as text with exactly `decimals` places and a point, whatever the locale; never "-0.0".
 *
 * @param value null, NaN and the infinities give the empty text
 * @param decimals places after the point, 0 to 15
 */
export function fixed(value: number | null, decimals: number): string {
  if (value === null || !Number.isFinite(value)) return '';
  return rounded(value, decimals).toFixed(decimals);
}
