// Injects faults of known kind, place and time into logs of invented loggers and holds what the audit finds
// against them. From the top of the project:
//
//   npx tsc -p test/score; node .vitest/score/test/score/score.js
//     [--seeds 20] [--first 1] [--cadence 10] [--grade fine] [--check spike] [--examples 5] [--write FOLDER]
//
// `--examples` names what was missed and what was found wrongly; `--write` puts the logs of the last site and
// the list of its faults into a folder.

import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import type { CheckName } from '../../src/log/finding.js';
import { GRADES } from './device.js';
import { lineOf } from './lineFaults.js';
import { type Judged, type Score, type Spoken, scoreOf, scoresOf, type Verdicts } from './scoring.js';
import { CADENCES, type Site, siteOf } from './site.js';

const { values: options } = parseArgs({
  options: {
    seeds: { type: 'string', default: '20' },
    first: { type: 'string', default: '1' },
    cadence: { type: 'string' },
    grade: { type: 'string' },
    check: { type: 'string' },
    examples: { type: 'string', default: '0' },
    write: { type: 'string' },
  },
});

/** Checks of time, which leave the values as they are. */
const UNMARKED: readonly CheckName[] = [
  'unreadable',
  'gap',
  'duplicate',
  'repeat_submission',
  'disorder',
  'clock',
  'daylight_saving',
  'cadence',
];

const all: Verdicts[] = [];
const first = Number(options.first);
for (let seed = first; seed < first + Number(options.seeds); seed++) {
  for (const cadence of CADENCES.filter(
    (each) => options.cadence === undefined || each === Number(options.cadence),
  )) {
    for (const grade of GRADES.filter(({ name }) => options.grade === undefined || name === options.grade)) {
      all.push(await scoreOf({ seed, cadence, grade }));
      if (options.write !== undefined) writeSite(siteOf({ seed, cadence, grade }), options.write);
    }
  }
}
const sum = (numbers: readonly number[]) => numbers.reduce((total, each) => total + each, 0);
const readings = sum(all.map((each) => each.readings));
const clean = all.map((each) => each.clean);
process.stdout.write(
  `${all.length} sites, ${readings} readings; ${sum(clean.map((each) => each.findings))} findings in the ` +
    `${sum(clean.map((each) => each.readings))} readings of logs without a fault\n\n${tableOf(scoresOf(all))}\n`,
);
if (Number(options.examples) > 0) {
  for (const line of examples(options.check as CheckName | undefined, Number(options.examples))) {
    process.stdout.write(`${line}\n`);
  }
}

function tableOf(scores: readonly Score[]): string {
  const head = [
    'check',
    'kind of fault',
    'faults',
    'own',
    'other',
    'recall',
    'marked',
    'true',
    'false',
    'precision',
    'false values',
    'goal',
  ];
  const share = (value: number) => (Number.isNaN(value) ? '-' : value.toFixed(3));
  const rows = scores.map((score) => [
    score.kind === null ? score.check : '',
    score.kind ?? '',
    `${score.faults}`,
    `${score.own}`,
    `${score.other}`,
    share(score.recall),
    UNMARKED.includes(score.check) ? '' : share(score.marked),
    ...(score.kind === null
      ? [`${score.right}`, `${score.wrong}`, share(score.precision), `${score.falseMarks}`]
      : ['', '', '', '']),
    score.passes === null ? '' : score.passes ? 'reached' : 'MISSED',
  ]);
  const widths = head.map((_, i) => Math.max(...[head, ...rows].map((row) => row[i]!.length)));
  const isText = (i: number) => i < 2 || i === head.length - 1;
  return [head, ...rows]
    .map((row) =>
      row
        .map((cell, i) => (isText(i) ? cell.padEnd(widths[i]!) : cell.padStart(widths[i]!)))
        .join('  ')
        .trimEnd(),
    )
    .join('\n');
}

function* examples(check: CheckName | undefined, most: number): Generator<string> {
  const missed = all.flatMap(({ faults }) => faults).filter(({ found }) => found === 'missed');
  const kinds = new Set(missed.map(({ fault }) => fault.kind));
  for (const kind of kinds) {
    const these = missed.filter(
      ({ fault }) => fault.kind === kind && (check === undefined || fault.check === check),
    );
    yield* these.slice(0, most).map(missText);
  }
  const wrong = all.flatMap(({ findings }) => findings).filter(({ verdict }) => verdict === 'false');
  for (const name of new Set(wrong.map(({ finding }) => finding.check))) {
    if (check !== undefined && name !== check) continue;
    yield* wrong
      .filter(({ finding }) => finding.check === name)
      .slice(0, most)
      .map(wrongText);
  }
}

function where({ setting: { seed, cadence, grade } }: Pick<Judged, 'setting'>): string {
  return `seed ${seed}, ${cadence} min, ${grade.name}`;
}

function writeSite({ zone, logs, faults }: Site, folder: string): void {
  mkdirSync(folder, { recursive: true });
  for (const { logger, text } of logs) writeFileSync(join(folder, `${logger}.csv`), text, 'latin1');
  const list = faults.map(({ kind, check, logger, from, until, rows }) => {
    const lines = rows.map(({ line }) => line).filter((line) => line > 0);
    const ends = [
      lines.reduce((a, b) => Math.min(a, b), Infinity),
      lines.reduce((a, b) => Math.max(a, b), 0),
    ];
    return { kind, check, logger, from: new Date(from), until: new Date(until), lines: ends };
  });
  writeFileSync(join(folder, 'faults.json'), `${JSON.stringify({ zone, faults: list }, null, 1)}\n`);
}

function missText({ setting, fault }: Judged): string {
  const lines = fault.rows.map(({ line }) => line).filter((line) => line > 0);
  const device = { grade: setting.grade, cadence: 0, rail: 0, wobble: 0, repeats: 0, delay: 0 };
  const clocks = { zone: 'UTC', standard: 0, change: null, before: 0, after: 0 };
  const text = fault.rows.slice(0, 2).map((row) => lineOf(row, { device, style: 'utc', clocks }));
  return `missed: ${fault.kind} (${where({ setting })}, ${fault.logger}, lines ${lines[0]}-${lines.at(-1)}, ${fault.rows.length} rows): ${text.join(' | ')}`;
}

function wrongText({ setting, logger, finding }: Spoken): string {
  const time = (instant: number | null) =>
    instant === null ? '-' : new Date(instant).toISOString().slice(0, 19);
  return `false: ${finding.check} (${where({ setting })}, ${logger}, lines ${finding.lines?.join('-')}) ${time(finding.from)} ${time(finding.until)} ${finding.quantity} x${finding.count}: ${finding.message}`;
}
