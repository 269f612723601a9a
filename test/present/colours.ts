/** Light of the three primaries, 0 to 1, of a colour `#rrggbb` (IEC 61966-2-1). */
function linear(colour: string): number[] {
  return [1, 3, 5].map((at) => {
    const level = Number.parseInt(colour.slice(at, at + 2), 16) / 255;
    return level <= 0.04045 ? level / 12.92 : ((level + 0.055) / 1.055) ** 2.4;
  });
}

/** Contrast of two colours, 1 to 21 (WCAG 2.2). */
export function contrast(a: string, b: string): number {
  const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y) as [number, number];
  return (light + 0.05) / (dark + 0.05);
}

function luminance(colour: string): number {
  const [red, green, blue] = linear(colour) as [number, number, number];
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

/**
 * What an eye makes of linear light when it lacks one kind of cone: Machado, Oliveira, Fernandes 2009,
 * severity 1; the figures as several public programs quote them. The first is an eye that lacks none.
 */
export const EYES = {
  'all cones': [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  'no long-wave cones': [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  'no middle-wave cones': [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  'no short-wave cones': [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
} as const;

/** How far two colours are apart for an eye: the distance in CIELAB (D65), ΔE*ab of 1976. */
export function distance(a: string, b: string, eye: keyof typeof EYES): number {
  const from = lab(seen(linear(a), eye));
  const to = lab(seen(linear(b), eye));
  return Math.hypot(...from.map((value, i) => value - to[i]!));
}

function seen(light: readonly number[], eye: keyof typeof EYES): number[] {
  return EYES[eye].map((row) => Math.min(1, Math.max(0, dot(row, light))));
}

/** Linear light to CIE XYZ, relative to the white of D65. */
const XYZ = [
  [0.4124564 / 0.95047, 0.3575761 / 0.95047, 0.1804375 / 0.95047],
  [0.2126729, 0.7151522, 0.072175],
  [0.0193339 / 1.08883, 0.119192 / 1.08883, 0.9503041 / 1.08883],
];

function lab(light: readonly number[]): number[] {
  const [x, y, z] = XYZ.map((row) => {
    const share = dot(row, light);
    return share > 216 / 24389 ? Math.cbrt(share) : ((24389 / 27) * share + 16) / 116;
  }) as [number, number, number];
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, value, i) => sum + value * b[i]!, 0);
}
