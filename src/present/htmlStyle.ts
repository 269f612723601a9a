import type { Markup } from './htmlMarkup.js';
import { DAYLIGHT, NIGHT, type Palette } from './htmlPalette.js';

/** For reading, and for figures and labels: what the system has for these. */
const SERIF = 'ui-serif,Georgia,serif';
const SANS = 'system-ui,sans-serif';

/** The style of a page. Paper always has the colours of daylight. */
export function styleSheet(): Markup {
  return {
    markup: `:root{color-scheme:light dark;${properties(DAYLIGHT)}}
@media screen and (prefers-color-scheme:dark){:root{${properties(NIGHT)}}}
${toneRules(DAYLIGHT)}${[LOOKS, HEAD, SECTIONS, MARKS, PARTS, TABLES, CHARTS, DAYS, DESK, PAPER].join('')}`,
  };
}

function properties({ tones, lines, ...rest }: Palette): string {
  const plain = Object.entries(rest).map(([name, colour]) => `--${name}:${colour}`);
  const toned = Object.entries(tones).map(([tone, colour]) => `--${tone}:${colour}`);
  const lined = lines.map((colour, i) => `--line-${i + 1}:${colour}`);
  return [...plain, ...toned, ...lined].join(';');
}

/** Everything that has a tone or belongs to a line finds its colour in `--own`. */
function toneRules({ tones, lines }: Palette): string {
  const names = [...Object.keys(tones), ...lines.map((_, i) => `line-${i + 1}`)];
  return names.map((name) => `.${name}{--own:var(--${name})}\n`).join('');
}

const LOOKS = `*{box-sizing:border-box}
html{background:var(--desk);-webkit-text-size-adjust:100%;text-size-adjust:100%}
body{margin:0 auto;max-width:80rem;padding:0 1rem 3rem;background:var(--paper);color:var(--ink);font:1rem/1.55 ${SERIF};overflow-wrap:break-word}
h1,h2,h3,h4,h5,h6{margin:0;font-weight:600;line-height:1.2;text-wrap:balance}
p{margin:0 0 1rem;max-width:40rem}
small{display:block;color:var(--muted);font-size:.875rem;line-height:1.45}
a{color:inherit;text-underline-offset:.2em;text-decoration-thickness:1px}
:focus-visible{outline:3px solid var(--note);outline-offset:2px}
`;

const HEAD = `header{padding:2.25rem 0 0}
h1{font-size:clamp(1.75rem,1.2rem + 2.6vw,2.75rem);letter-spacing:-.012em}
header>p{margin:.5rem 0 1.25rem;color:var(--muted)}
nav ul{display:flex;flex-wrap:wrap;gap:0 1.5rem;margin:0;padding:0;list-style:none}
nav a{display:inline-block;padding:.3rem 0;font-size:.9375rem}
`;

const SECTIONS = `.entry{padding:1.5rem 0 .5rem;border-top:1px solid var(--hairline)}
main>:first-child{margin-top:1.5rem;border-top:4px double var(--margin)}
h2{font-size:1.375rem}
h3{font-size:1.125rem}
h4,h5,h6{font-size:1rem}
section.entry>h2{margin-bottom:1rem}
.inner{margin:1.5rem 0}
section.inner>:first-child{margin-bottom:.75rem}
.body{min-width:0}
summary{cursor:pointer;list-style:none;padding:.25rem 0}
summary::-webkit-details-marker{display:none}
summary :is(h2,h3,h4,h5,h6){display:inline}
summary::before{content:"+";display:inline-block;width:1.25rem;font-weight:600;color:var(--muted)}
[open]>summary::before{content:"\\2212"}
[open]>summary{margin-bottom:1rem}
`;

/** Every tone has a shape of its own before its word: a disc, a diamond, a triangle, a square, a ring. */
const MARKS = `.mark{color:var(--own);font:600 .8125rem/1.45 ${SANS};white-space:nowrap}
.mark::before{content:"";display:inline-block;width:.62em;height:.62em;margin-right:.5em;background:var(--own);print-color-adjust:exact;-webkit-print-color-adjust:exact}
.mark.good::before{border-radius:50%}
.mark.note::before{transform:rotate(45deg) scale(.85)}
.mark.caution::before{clip-path:polygon(50% 0,100% 100%,0 100%);transform:scale(1.15)}
.mark.unknown::before{border-radius:50%;background:none;border:2px solid var(--own)}
`;

const PARTS = `.verdict{max-width:36rem;margin:0 0 1.75rem;font-size:clamp(1.25rem,1.05rem + 1vw,1.625rem);line-height:1.35;text-wrap:pretty}
.verdict .mark{display:block;margin-bottom:.35rem}
.items{max-width:48rem;margin:0 0 1.25rem;padding:0;list-style:none}
.items>li{padding:.6rem 0;border-bottom:1px solid var(--hairline)}
.items>li:first-child{border-top:1px solid var(--hairline)}
.facts{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,9rem),1fr));gap:1.25rem 1.5rem;margin:0 0 1.5rem}
.facts>div{padding-top:.5rem;border-top:2px solid var(--own)}
.facts>.plain{border-color:var(--muted)}
dt{color:var(--muted);font-size:.9375rem;line-height:1.35}
dd{margin:0}
dt+dd{font-size:1.5rem;line-height:1.3;font-variant-numeric:lining-nums tabular-nums}
.wordy dt+dd{font-size:1.0625rem;line-height:1.4}
.beware{padding:.4rem 0 .4rem 1rem;border-left:4px double var(--caution);font-size:.9375rem}
.beware strong{color:var(--caution)}
@media (min-width:36rem){.items>li{display:grid;grid-template-columns:6rem minmax(0,1fr)}.items .mark{padding-top:.15rem}}
`;

const TABLES = `.scroll{position:relative;margin:0 0 1.75rem;overflow-x:auto;max-width:max-content;background:linear-gradient(270deg,var(--paper) 50%,transparent) 100% 0/2rem 100% no-repeat local,linear-gradient(270deg,var(--hairline),transparent) 100% 0/.5rem 100% no-repeat scroll}
p+.scroll{margin-top:1.75rem}
table{border-collapse:collapse;font:.875rem/1.4 ${SANS};font-variant-numeric:lining-nums tabular-nums}
caption{padding:0 0 .5rem;text-align:left;font:600 1rem/1.4 ${SERIF}}
caption span{position:sticky;left:0;display:inline-block;max-width:min(100%,calc(100vw - 2rem))}
th,td{padding:.4rem .75rem;border-bottom:1px solid var(--hairline);text-align:left;vertical-align:baseline}
:is(th,td):first-child{padding-left:0}
:is(th,td):last-child{padding-right:.25rem}
:is(th,td).right{text-align:right}
td.right{white-space:nowrap}
td.prose{min-width:17ch;max-width:34rem}
td.long{min-width:min(20rem,75vw)}
.unbroken{overflow-wrap:anywhere}
thead th{border-bottom-color:var(--muted);color:var(--muted);font-weight:500;vertical-align:bottom;max-width:8.5rem}
tbody th{font-weight:500}
tbody th.prose{min-width:9rem;max-width:16rem}
tbody th.short{position:sticky;left:0;background:var(--paper)}
.short{white-space:nowrap}
`;

const CHARTS = `.chart{margin:0 0 2rem;container-type:inline-size;font:.8125rem/1.4 ${SANS}}
figcaption{max-width:42rem;margin-bottom:.6rem;color:var(--muted);font:.9375rem/1.45 ${SERIF}}
figcaption strong{display:block;color:var(--ink);font-size:1rem;font-weight:600}
.key{display:flex;flex-wrap:wrap;gap:.15rem 1.25rem;margin:0 0 .5rem;padding:0;list-style:none}
.key li{display:flex;align-items:baseline;gap:.45rem}
.key svg{flex:none;align-self:center;overflow:visible}
.sheet{position:absolute}
.plot{display:block;width:calc(100% - 3.5rem);margin-left:3rem;overflow:visible}
text{fill:var(--muted);font:12px ${SANS};font-variant-numeric:lining-nums tabular-nums}
.grid{stroke:var(--hairline);shape-rendering:crispEdges}
.axis,.tick{stroke:var(--muted);shape-rendering:crispEdges}
.curve{fill:none;stroke:var(--own);stroke-width:1.75;stroke-linecap:round;stroke-linejoin:round;vector-effect:non-scaling-stroke}
.again{stroke-width:1;stroke-dasharray:4 3}
.tint{fill:var(--own);opacity:.13}
.full{fill:var(--own)}
.edged{stroke:var(--own);stroke-width:.75;vector-effect:non-scaling-stroke}
.tint{stroke:none}
pattern path{stroke:var(--own);fill:none}
.end{display:none;fill:var(--own)}
.mid,.far{display:none}
.strips p{margin:.55rem 0 .2rem;line-height:1.3}
.strip{display:block;width:100%;background:linear-gradient(var(--hairline),var(--hairline)) 0 50%/100% 1px no-repeat}
.strips .plot{width:100%;margin:.5rem 0 0}
@container (min-width:36rem){.lines{width:calc(100% - 11.5rem)}.end,.mid{display:block}.key .named{display:none}
.strips{display:grid;grid-template-columns:9rem minmax(0,1fr);gap:.6rem 0}.strips p{margin:0;padding-right:.75rem}.strips .plot{grid-column:2;margin:0}}
@container (min-width:54rem){.far{display:block}}
`;

/** A day is a vessel: water from one end, a hatching from the other. On a telephone it lies on its side. */
const DAYS = `.weekdays{display:none}
.days{margin:0;padding:0;list-style-type:"";font-variant-numeric:lining-nums tabular-nums}
.days li,.vessel{background:repeating-linear-gradient(135deg,var(--hatch) 0 1px,transparent 1px 5px) 100% 0/var(--unknown) 100% no-repeat,linear-gradient(var(--water),var(--water)) 0 0/var(--share) 100% no-repeat;print-color-adjust:exact;-webkit-print-color-adjust:exact}
.vessel{align-self:center;flex:none;display:inline-block;width:24px;height:14px;border:1px solid var(--muted)}
.days li{display:flex;gap:.75rem;padding:.4rem .25rem;border-bottom:1px solid var(--hairline)}
.days .day-1{border-top:1px solid var(--muted)}
.days time{flex:none;width:6.25rem;font-weight:600}
.days div{display:flex;flex-wrap:wrap;gap:0 1rem;min-width:0}
.days .partly :is(time,div){text-shadow:0 0 2px var(--paper),0 0 3px var(--paper),0 0 4px var(--paper),0 0 4px var(--paper)}
@container (min-width:36rem){.weekdays,.days{display:grid;grid-template-columns:repeat(7,minmax(0,1fr))}
.weekdays span{padding:0 .45rem .2rem;color:var(--muted)}
.days{padding:0 1px 1px 0}
.days li{display:block;min-height:5.25rem;margin:0 -1px -1px 0;padding:.3rem .45rem .5rem;border:1px solid var(--hairline)!important}
.days li,.vessel{background-position:0 0,0 100%;background-size:100% var(--unknown),100% var(--share)}
.days time{width:auto}.days div{display:block;font-size:.75rem;line-height:1.4}.days div span{display:block;text-wrap:balance}
.days .month,.weekday{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
${[1, 2, 3, 4, 5, 6, 7].map((day) => `.days .day-${day}{grid-column:${day}}`).join('')}}
`;

/** On a desk titles and marks stand in the margin of the ledger, left of its double line. */
const DESK = `@media (min-width:66rem){body{padding:0 3rem 4rem;border:solid var(--hairline);border-width:0 1px}
header{padding:4rem 0 0 15rem}
.facts{grid-template-columns:repeat(auto-fill,minmax(12rem,1fr))}
main{position:relative}
main::before{content:"";position:absolute;inset:0 auto 0 13rem;border-left:4px double var(--margin)}
main>:first-child{margin-top:2rem;border-top:1px solid var(--hairline)}
.entry{position:relative;padding:2rem 0 1rem}
.entry>.body{position:relative;margin-left:15rem}
section.entry>h2{position:absolute;width:11.5rem}
details.entry>summary{margin-left:13.5rem}
summary::before{width:1.5rem}
div.entry .mark{position:absolute;right:calc(100% + 3.5rem)}
div.entry .items>li{position:relative;display:block}
.verdict{position:relative}
.verdict .mark{top:.5rem}}
`;

const PAPER = `@media print{@page{margin:16mm 14mm}
html,body{background:none}
body{max-width:none;padding:0;border:0;font-size:10.5pt}
nav,summary::before{display:none}
header{padding-top:0}
details::details-content{content-visibility:visible;block-size:auto;opacity:1}
.scroll{overflow:visible;max-width:none;background:none}
tbody th.short{position:static;background:none}
td.long{min-width:0}
table{font-size:8pt}
th,td{padding:.2rem .35rem}
tr,.chart,.items>li,.facts>div,.days li{break-inside:avoid}
h2,h3,figcaption,caption,summary{break-after:avoid}
tbody tr:first-child{break-before:avoid}}
`;
