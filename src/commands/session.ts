import type { InputError } from '../errors.js';
import { explain } from '../errors.js';
import { type Finding, SEVERITIES } from '../log/finding.js';
import type { Io } from '../present/io.js';
import { type Chunks, type Output, openOutput } from '../present/output.js';
import { type Style, styleFor } from '../present/terminal.js';
import { asciiText, visibleText } from '../present/visible.js';
import { assumedInWords } from '../report/assumed.js';
import type { Intake } from './intake.js';
import { colourOf, type FailOn, type WritingOptions } from './options.js';

/** How a run ended: 0 done; 1 done, with findings that matter; 2 not or not wholly done. */
export const Exit = { done: 0, findings: 1, failed: 2 } as const;
export type Exit = (typeof Exit)[keyof typeof Exit];

/** One result and where it goes. */
export interface Delivery {
  /** A path from the working folder; undefined or `-` is standard output. */
  readonly target: string | undefined;
  readonly chunks: Chunks;
  /** latin1 writes a byte for each character. */
  readonly encoding?: 'utf8' | 'latin1';
}

/**
 * Writes results where they were asked for, whole or not at all: every place is opened before the first
 * of them is written.
 *
 * @param inputs paths of what was read, which must not be overwritten
 */
export async function deliverAll(
  results: readonly Delivery[],
  io: Io,
  inputs: readonly string[],
): Promise<void> {
  const outputs: Output[] = [];
  try {
    for (const { target, encoding } of results) outputs.push(await openOutput(target, io, inputs, encoding));
    for (const [place, { chunks }] of results.entries()) await outputs[place]!.write(chunks);
    for (const output of outputs) await output.close();
  } catch (error) {
    for (const output of outputs) await output.abandon();
    throw error;
  }
}

/** Writes data where it was asked for: whole, or not at all. */
export async function deliver(
  chunks: Chunks,
  options: Pick<WritingOptions, 'output'>,
  io: Io,
  inputs: readonly string[] = [],
): Promise<void> {
  await deliverAll([{ target: options.output, chunks }], io, inputs);
}

/** Whether nothing at all could be read, so that there is no result: not an empty one. */
export function nothingRead({ works, failures }: Intake): boolean {
  return works.length === 0 && failures.length > 0;
}

/** The style of what is delivered: that of the terminal, or of a plain file. */
export function styleOf(options: WritingOptions, io: Io): Style {
  const toFile = options.output !== undefined && options.output !== '-';
  if (toFile) return { level: 0, width: null, unicode: true };
  return styleFor(io.stdout, io.env, { colour: colourOf(options) });
}

/** Says something beside the result. Nothing that an input holds can steer the terminal. */
export function say(io: Io, text: string): void {
  const { unicode } = styleFor(io.stderr, io.env);
  const lines = text.split('\n').map((line) => (unicode ? visibleText(line) : asciiText(visibleText(line))));
  io.stderr.write(`${lines.join('\n')}\n`);
}

export function sayFailures(io: Io, failures: readonly InputError[]): void {
  for (const failure of failures) say(io, `dewledger: ${explain(failure)}`);
}

/** What was taken for granted, for `--verbose`. */
export function sayAssumptions(io: Io, intake: Intake): void {
  const { site, siteFrom, zone, zoneFrom } = intake;
  say(io, site.file === null ? 'no site file' : `site file ${site.file} (${siteFrom})`);
  say(io, `zone ${zone.name} (${zoneFrom})`);
  for (const { source, assumed, lines } of intake.sources) {
    say(io, `${source}: ${assumedInWords(assumed)}`);
    const { outsideWindow, ...counted } = lines;
    const counts = Object.entries(counted).map(([key, count]) => `${key} ${count}`);
    say(io, `${source}: lines ${counts.join(', ')}, outside the window ${outsideWindow}`);
  }
  for (const { logger, audit, bridge, reading } of intake.works) {
    const cadence = audit.cadence === null ? 'none' : `${audit.cadence / 1000} s`;
    const { temperature, humidity } = logger.accuracy;
    say(
      io,
      `${reading.log.logger}: cadence ${cadence}, joined up to ${bridge / 1000} s, ` +
        `accuracy ± ${temperature} K and ± ${humidity} % (${logger.accuracySource})`,
    );
  }
}

/** The exit code of findings under `--fail-on`. */
export function exitFor(findings: readonly Pick<Finding, 'severity'>[], failOn: FailOn): Exit {
  if (failOn === 'never') return Exit.done;
  const least = SEVERITIES.indexOf(failOn);
  return findings.some(({ severity }) => SEVERITIES.indexOf(severity) >= least) ? Exit.findings : Exit.done;
}

/** What there is to say of the inputs before there is a result. */
export function sayIntake(io: Io, intake: Intake, { verbose }: Pick<WritingOptions, 'verbose'>): void {
  sayFailures(io, intake.failures);
  if (verbose) sayAssumptions(io, intake);
  sayEmpty(io, intake);
}

export function findingsOf(intake: Intake): Finding[] {
  return intake.works.flatMap((work) => work.audit.findings);
}

/** The exit code of a run whose result is delivered. */
export function exitOf(intake: Intake, { failOn }: Pick<WritingOptions, 'failOn'>): Exit {
  return intake.failures.length > 0 ? Exit.failed : exitFor(findingsOf(intake), failOn);
}

/** A log with no reading is told on stderr, once, whatever the command makes of it. */
function sayEmpty(io: Io, intake: Intake): void {
  for (const { reading } of intake.works) {
    if (reading.log.length > 0) continue;
    const outside = reading.lines.outsideWindow;
    say(
      io,
      `dewledger: ${reading.log.logger}: no reading${outside > 0 ? ` in the time asked for (${outside} outside it)` : ''}`,
    );
  }
}
