import type { Tone } from '../../report/document.js';
import { html, type Markup, NOTHING } from '../htmlMarkup.js';
import { percent, SLIVERS } from './frame.js';
import type { Sliver } from './slivers.js';

/**
 * How a stretch of a strip looks beside its colour: how much of the strip's height it fills, and with
 * what. What is in order is a thin line; the worse, the more ink.
 */
export interface Texture {
  readonly tone: Tone;
  readonly fill: 'line' | 'solid' | 'stripes' | 'checks' | 'hatch';
}

/** How time without good readings looks in every chart. */
export const UNKNOWN: Texture = { tone: 'unknown', fill: 'hatch' };

const FIRST: Readonly<Record<Tone, Texture['fill']>> = {
  good: 'line',
  plain: 'line',
  note: 'stripes',
  caution: 'stripes',
  alarm: 'solid',
  unknown: 'hatch',
};

/** What a tone falls back on where another state of the same tone has taken the usual look. */
const SPARE: readonly Texture['fill'][] = ['checks', 'stripes', 'solid', 'hatch'];

/**
 * A look for each of several things, such that no two of the same tone have the same, as long as there are looks.
 *
 * @param first what they look like that are the first of their tone
 */
export function textures(
  tones: readonly Tone[],
  first: (tone: Tone) => Texture['fill'] = (tone) => FIRST[tone],
): Texture[] {
  const taken = new Set<string>();
  return tones.map((tone) => {
    const fill = [first(tone), ...SPARE].find((look) => !taken.has(`${tone} ${look}`)) ?? first(tone);
    taken.add(`${tone} ${fill}`);
    return { tone, fill };
  });
}

const TONES: readonly Tone[] = ['good', 'note', 'caution', 'alarm', 'unknown', 'plain'];

/** The patterns that charts refer to: once on a page, before the first chart. */
export function patternSheet(): Markup {
  const patterns = TONES.map(
    (tone) =>
      html`<pattern id="look_stripes-${tone}" class="${tone}" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M1.5 0v6" stroke-width="3"/></pattern><pattern id="look_checks-${tone}" class="${tone}" width="6" height="6" patternUnits="userSpaceOnUse"><path d="M0 1.5h3M3 4.5h3" stroke-width="3"/></pattern><pattern id="look_hatch-${tone}" class="${tone}" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)"><path d="M.5 0v5" stroke-width="1"/></pattern>`,
  );
  return html`<svg class="sheet" width="0" height="0" aria-hidden="true" focusable="false"><defs>${patterns}</defs></svg>`;
}

/** Stretches in the look of their state, from `top` and `height` high [px]. */
export function textured(
  { tone, fill }: Texture,
  stretches: readonly Sliver[],
  top: number,
  height: number,
): Markup {
  if (fill === 'line' || fill === 'solid') {
    const inset = fill === 'line' ? Math.max(0, (height - 3) / 2) : 0;
    return stretched(`${tone} full`, stretches, top + inset, height - 2 * inset);
  }
  if (stretches.length === 0) return NOTHING;
  const rects = stretches.map(
    ({ from, width }) =>
      html`<rect x="${percent(from / SLIVERS)}" width="${percent(width / SLIVERS)}" y="${top}" height="${height}"/>`,
  );
  return html`<g class="${tone}${edge(stretches)}" fill="url(#look_${fill}-${tone})">${rects}</g>`;
}

/** Stretches in one colour, as a single path that the browser stretches with the chart. */
export function stretched(
  className: string,
  stretches: readonly Sliver[],
  top: number,
  height: number,
): Markup {
  if (stretches.length === 0) return NOTHING;
  const path = stretches.map(({ from, width }) => `M${from} 0h${width}v1h-${width}z`).join('');
  return html`<svg y="${top}" width="100%" height="${height}" viewBox="0 0 ${SLIVERS} 1" preserveAspectRatio="none"><path class="${className}${edge(stretches)}" d="${path}"/></svg>`;
}

/** With so few, each has to be seen, however short; of more, it is the density that tells. */
const FEW = 60;

/** An edge widens a stretch by a pixel at most. Of the many of a year it would make a whole. */
function edge(stretches: readonly Sliver[]): string {
  return stretches.length > FEW ? '' : ' edged';
}
